"""Run pip for `python3 -m trainer.start`: show what it is at, and say in a sentence what went wrong.

Only the standard library, since this runs before anything is installed.
"""

import collections
import os
import platform
import re
import subprocess
import sys
from pathlib import Path

NO_NETWORK = re.compile(
    r"NewConnectionError|ConnectTimeout|ReadTimeout|ConnectionError|ConnectionReset|ProxyError|"
    r"name resolution|getaddrinfo|unreachable|timed out|Could not fetch URL|from versions: none",
    re.IGNORECASE,
)


class CannotSetUp(Exception):
    """Setting up cannot go on; the text is a sentence that says what to do."""


def run_pip(command: list[str], log_file: Path) -> tuple[int, str]:
    """Run pip, show what it is at, keep all it said in a file; give exit code and the end of that."""
    last = collections.deque[str](maxlen=60)
    with (
        log_file.open("w", encoding="utf-8") as log,
        subprocess.Popen(
            command,
            env=pip_environment(),
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            encoding="utf-8",
            errors="replace",
        ) as running,
    ):
        assert running.stdout is not None
        for line in running.stdout:
            log.write(line)
            last.append(line)
            show_progress(line)
    show_progress("")
    return running.returncode, "".join(last)


def pip_environment() -> dict[str, str]:
    """Settings for pip and the pips it starts: without internet, give up in seconds and not in a minute."""
    surroundings = {**os.environ, "PIP_DISABLE_PIP_VERSION_CHECK": "1", "PIP_NO_INPUT": "1"}
    surroundings.pop("PIP_REQUIRE_VIRTUALENV", None)
    surroundings.pop("PIP_USER", None)
    surroundings.setdefault("PIP_RETRIES", "1")
    if "PIP_TIMEOUT" not in surroundings:
        surroundings.setdefault("PIP_DEFAULT_TIMEOUT", "5")
    return surroundings


def show_progress(line: str) -> None:
    """Show on a terminal, in one line that is written over, what pip is at; an empty line wipes it."""
    if not sys.stdout.isatty():
        return
    if not line:
        print("\r" + " " * 78 + "\r", end="", flush=True)
    elif line.startswith(("Collecting", "Installing", "Processing")):
        print("\r  " + line.strip()[:74].ljust(76), end="", flush=True)


def what_went_wrong(said: str, wheelhouse: Path | None, log_file: Path) -> str:
    """Turn what pip said into a sentence that says what to do; ``wheelhouse`` if pip was held to one."""
    if "No space left" in said:
        return "The disk is full. Free 500 MB and run the same command again."
    if wheelhouse:
        missing = re.search(r"No matching distribution found for ([^\s;]+)", said)
        part = missing.group(1) if missing else "a part"
        return (
            f"The folder {wheelhouse} lacks {part} for this machine (Python {platform.python_version()}, "
            f"{platform.system()} {platform.machine()}). Make it again on a machine of the same kind with "
            "internet: python3 -m trainer.start wheels; or delete it to install from the internet. "
            "For the tests: python3 -m trainer.start wheels --test"
        )
    if NO_NETWORK.search(said):
        return (
            "No package index can be reached from here. Connect this machine to the internet for this one step "
            "and run the same command again; or run 'python3 -m trainer.start wheels' on a machine of the "
            "same kind that has internet and copy its folder wheelhouse/ into this folder."
        )
    if os.name == "nt" and platform.machine().upper() == "ARM64":
        return "Not all parts exist for Windows on ARM. Install the x64 (64-bit Intel) Python and use that."
    lines = [line.strip() for line in said.splitlines() if line.strip()]
    telling = [line for line in lines if re.match(r"(ERROR|error|\w*Error)\b.*:", line)] or lines[-4:]
    return f"Installing did not succeed. The installer said (all of it is in {log_file}):\n  " + "\n  ".join(
        telling
    )
