"""Wheels for machines of other kinds than this one, for `python3 -m trainer.start wheels --everywhere`.

pip fetches for another kind of machine only what is built already, and asks about conditions ("on Windows") as if it
were this one; nothing that the project needs has such a condition. Only the standard library, as in trainer.start.
"""

import sys
from collections.abc import Iterator
from pathlib import Path

KINDS = {
    "Linux x86-64": ("manylinux_2_28_x86_64", "manylinux_2_17_x86_64", "manylinux2014_x86_64"),
    "Linux arm64": ("manylinux_2_28_aarch64", "manylinux_2_17_aarch64", "manylinux2014_aarch64"),
    "Windows x86-64": ("win_amd64",),
    "macOS arm64": ("macosx_14_0_arm64",),
    "macOS x86-64": ("macosx_13_0_x86_64",),
}
"""Kinds of machines, each with what pip calls it: glibc 2.28 (2018) or newer, macOS 14 or 13 or newer."""


def downloads(python: Path, folder: Path, needed: list[str]) -> Iterator[tuple[str, list[str]]]:
    """Each kind of machine with the command that fetches ``needed``, for Pythons of the version of this one."""
    version = f"{sys.version_info[0]}.{sys.version_info[1]}"
    for kind, platforms in KINDS.items():
        command = [str(python), "-m", "pip", "download", "--only-binary=:all:", "--implementation", "cp"]
        command += ["--python-version", version, "--dest", str(folder)]
        yield kind, [*command, *(f"--platform={one}" for one in platforms), *needed]
