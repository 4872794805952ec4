"""The server needs no network: it starts and answers where there is no way out of the machine."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

HOUSE = Path(__file__).parents[2]


@pytest.mark.slow
@pytest.mark.skipif(sys.platform != "linux", reason="needs Linux's network namespaces")
def test_served_without_a_way_out(tmp_path: Path) -> None:
    """In a network namespace with nothing but the loopback the trainer starts, asks, marks and shows its pages."""
    alone = ["unshare", "--net", *([] if os.geteuid() == 0 else ["--map-root-user"])]
    may = shutil.which("unshare") and subprocess.run([*alone, "true"], check=False).returncode == 0
    if not may and not (os.environ.get("CI") and os.geteuid() == 0):
        pytest.skip("this account may not make a network namespace")
    done = subprocess.run(
        [*alone, sys.executable, "-m", "tests.serving.alone", str(tmp_path / "instance")],
        cwd=HOUSE, capture_output=True, text=True, timeout=200, check=False,
    )  # fmt: skip
    assert (done.returncode, done.stdout.splitlines()[-1:]) == (0, ["all in order"]), done.stderr
