"""Solve relations that somebody has just typed, in a process of its own that is ended when its time is over.

sympy may search for minutes on a relation of one line, and nothing can stop it from inside. So whoever writes a
drill waits some seconds at most, and nobody else waits at all: there is one such process at a time.
"""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from threading import Lock, Timer
from types import TracebackType

from trainer.errors import Busy, Refused
from trainer.formulas.reading import read_relation
from trainer.formulas.solved import by_sympy
from trainer.formulas.tree import Relation, written
from trainer.languages import _

SECONDS = 15.0  # for all relations of a drill together; the slowest of the shipped bank takes about two
MOST_KNOWN = 5000
_TURN = Lock()
_known: dict[tuple[str, str], str | None] = {}  # what was solved is not solved again at the next letter typed


class SolvedApart:
    """A solver for `SolvedForms.apart`; used as ``with SolvedApart() as solver``.

    The process begins at the first relation that is new, and ends with the block.
    """

    def __init__(self, seconds: float = SECONDS) -> None:
        self._seconds = seconds
        self._process: subprocess.Popen[str] | None = None
        self._timer: Timer | None = None
        self._over = False

    def __enter__(self) -> SolvedApart:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._over = True
        if self._process is not None and self._timer is not None:
            self._timer.cancel()
            self._process.kill()
            self._process.communicate()
            self._process = None
            _TURN.release()

    def __call__(self, relation: Relation, symbol: str) -> str | None:
        """Return the right side of ``symbol = ...`` as text, None where there is no solution.

        Raises Refused where the time is over, Busy where another drill is being solved.
        """
        key = written(relation), symbol
        if key not in _known:
            form = self._asked(relation, symbol)
            if len(_known) >= MOST_KNOWN:
                _known.clear()
            _known[key] = form
            return form
        return _known[key]

    def _asked(self, relation: Relation, symbol: str) -> str | None:
        text = written(relation)
        if self._over:
            raise Refused(f"'{text[:80]}' was not turned round for {symbol} while there was time")
        process = self._process or self._begun()
        assert process.stdin is not None
        assert process.stdout is not None
        try:
            asked = {"relation": text, "symbols": relation.symbols, "symbol": symbol}
            process.stdin.write(json.dumps(asked) + "\n")
            process.stdin.flush()
            answer = process.stdout.readline()
        except OSError:
            answer = ""
        if not answer:
            raise Refused(
                f"'{text[:80]}' could not be turned round for {symbol} in the time there is; "
                "write it simpler, or in two relations"
            )
        form: str | None = json.loads(answer)
        return form

    def _begun(self) -> subprocess.Popen[str]:
        if not _TURN.acquire(timeout=self._seconds):
            raise Busy(_("Another drill is being solved just now. Wait a moment and press Check again."))
        command = [sys.executable, "-c", f"from {__name__} import answer; answer()"]
        self._process = subprocess.Popen(
            command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True,
            encoding="utf-8", cwd=Path(__file__).parents[2],
        )  # fmt: skip
        self._timer = Timer(self._seconds, self._process.kill)
        self._timer.daemon = True
        self._timer.start()
        return self._process


def answer() -> None:
    """Be the other process: answer each line of standard input until there is none."""
    for line in sys.stdin:
        asked = json.loads(line)
        relation = read_relation(asked["relation"], frozenset(asked["symbols"]))
        sys.stdout.write(json.dumps(by_sympy(relation, asked["symbol"])) + "\n")
        sys.stdout.flush()
