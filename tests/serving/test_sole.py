"""The lock of an instance: one holds it, everybody else knows, and it goes with its holder."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

from trainer.serving.sole import sole

HOLDER = """
import sys
from pathlib import Path
from trainer.serving.sole import sole

with sole(Path(sys.argv[1])) as alone:
    print(alone, flush=True)
    sys.stdin.read()
"""


def test_a_holder_that_was_killed_keeps_nobody_out(tmp_path: Path) -> None:
    """While another process holds it the answer is no, asked once or twice; as soon as that is dead, yes."""
    command = [sys.executable, "-c", HOLDER, str(tmp_path)]
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, encoding="utf-8") as other:
        said = other.stdout.readline() if other.stdout else ""
        found = []
        for _ in range(2):
            with sole(tmp_path) as alone:
                found.append(alone)
        other.kill()
    with sole(tmp_path) as alone:
        assert (said, found, alone) == ("True\n", [False, False], True)
