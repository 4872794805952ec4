"""Change one thing in the program at a time and see whether a test notices.

By hand: python -m tests.faults.mutating formulas|drills|qualification|records [MUTANTS] [SEED] [FIRST]. First the
tests of the package are run once to learn which test runs which line. Then each mutant, drawn by the seed (with FIRST
from that number of the draw on), is tried in a process of its own with the tests that run its line until one fails;
where they are many, in several processes one after another. A mutant that hangs counts as noticed, as it would in CI.
The files on the disk are never changed.
"""

from __future__ import annotations

import ast
import io
import os
import random
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass
from functools import cache
from importlib import import_module
from importlib.abc import Loader, MetaPathFinder
from importlib.machinery import ModuleSpec
from importlib.util import spec_from_loader
from itertools import zip_longest
from pathlib import Path
from types import ModuleType
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import pytest

HOUSE = Path(__file__).parents[2]
SECONDS = 40  # of processor time are more than the tests of one line need
MEMORY = 6 * 1024**3
MOST_TESTS = 60  # in one process
ALONE = [
    "-q",
    "-n",
    "0",
    "-p",
    "no:cacheprovider",
    "--noconftest",
    "-m",
    "not browser",
]  # a test that needs more would always fail, as a browser does in so little memory
OPPOSITE: dict[type[ast.AST], tuple[type[ast.AST], ...]] = {
    ast.Lt: (ast.LtE, ast.GtE), ast.LtE: (ast.Lt, ast.Gt), ast.Gt: (ast.GtE, ast.LtE), ast.GtE: (ast.Gt, ast.Lt),
    ast.Eq: (ast.NotEq,), ast.NotEq: (ast.Eq,), ast.Is: (ast.IsNot,), ast.IsNot: (ast.Is,),
    ast.In: (ast.NotIn,), ast.NotIn: (ast.In,), ast.And: (ast.Or,), ast.Or: (ast.And,),
    ast.Add: (ast.Sub,), ast.Sub: (ast.Add,), ast.Mult: (ast.Div,), ast.Div: (ast.Mult,),
    ast.FloorDiv: (ast.Mult,), ast.Mod: (ast.Mult,), ast.Pow: (ast.Mult,),
    ast.BitAnd: (ast.BitOr,), ast.BitOr: (ast.BitAnd,), ast.LShift: (ast.RShift,), ast.RShift: (ast.LShift,),
}  # fmt: skip


@dataclass(frozen=True)
class Mutant:
    """One change: file, line, what stands there now, and the whole changed module."""

    file: Path
    line: int
    was: str
    now: str
    tree: ast.Module

    def __str__(self) -> str:
        return f"{self.file.relative_to(HOUSE)}:{self.line}: {self.was}  ->  {self.now}"


def places(file: Path) -> Iterator[tuple[Path, int, int]]:
    """Every place of a module that can be changed: file, number of the node, number of the change.

    Annotations and decorators are left alone: nothing is worked out there.
    """
    module = ast.parse(file.read_text(encoding="utf-8"))
    left_alone = {
        id(inner) for node in ast.walk(module) for part in _beside(node) for inner in ast.walk(part)
    }
    for number, node in enumerate(ast.walk(module)):
        if id(node) not in left_alone:
            yield from ((file, number, change) for change in range(len(_changes(node))))


def made(file: Path, number: int, change: int) -> Mutant:
    """The mutant of one place."""
    module = ast.parse(file.read_text(encoding="utf-8"))
    node = next(found for n, found in enumerate(ast.walk(module)) if n == number)
    assert isinstance(node, ast.expr | ast.stmt)
    was = ast.unparse(node)[:90]
    _changes(node)[change]()
    return Mutant(file, node.lineno, was, ast.unparse(node)[:90], ast.fix_missing_locations(module))


def _beside(node: ast.AST) -> Iterator[ast.AST]:
    for name in ("annotation", "returns"):
        if isinstance(part := getattr(node, name, None), ast.AST):
            yield part
    yield from getattr(node, "decorator_list", ())


def _changes(node: ast.AST) -> list[Callable[[], object]]:
    """What can be done to a node, each as something to call: comparison, arithmetic, boolean, constant, return."""

    def put(name: str, value: object) -> Callable[[], object]:
        return lambda: setattr(node, name, value)

    def one_of(index: int, kind: type[ast.AST]) -> Callable[[], object]:
        return lambda: node.ops.__setitem__(index, kind())

    if isinstance(node, ast.Compare):
        return [one_of(i, kind) for i, op in enumerate(node.ops) for kind in OPPOSITE[type(op)]]
    if isinstance(node, ast.BinOp | ast.BoolOp):
        return [put("op", kind()) for kind in OPPOSITE.get(type(node.op), ())]
    if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not):
        return [lambda: (put("op", ast.UAdd())(), put("operand", _truth(node.operand))())]
    if isinstance(node, ast.Constant) and isinstance(node.value, bool):
        return [put("value", not node.value)]
    if isinstance(node, ast.Constant) and isinstance(node.value, int | float):
        return [put("value", node.value + 1), put("value", node.value - 1)]
    if isinstance(node, ast.Return) and node.value is not None and not _is_none(node.value):
        return [put("value", ast.Constant(None))]
    return []


def _truth(node: ast.expr) -> ast.expr:
    return ast.Call(ast.Name("bool", ast.Load()), [node], [])


def _is_none(node: ast.expr) -> bool:
    return isinstance(node, ast.Constant) and node.value is None


class Changed(MetaPathFinder, Loader):
    """Gives one module in its changed form to whoever imports it."""

    def __init__(self, mutant: Mutant) -> None:
        self.mutant = mutant
        parts = mutant.file.relative_to(HOUSE).with_suffix("").parts
        self.name = ".".join(parts[:-1] if parts[-1] == "__init__" else parts)

    def find_spec(self, name: str, path: object = None, target: object = None) -> ModuleSpec | None:
        """Take the one module, leave all others to Python."""
        if name != self.name:
            return None
        is_package = self.mutant.file.name == "__init__.py"
        spec = spec_from_loader(name, self, origin=str(self.mutant.file), is_package=is_package)
        if spec is not None:
            spec.has_location = True
            if is_package:
                spec.submodule_search_locations = [str(self.mutant.file.parent)]
        return spec

    def exec_module(self, module: ModuleType) -> None:
        """Run the changed text."""
        exec(compile(self.mutant.tree, str(self.mutant.file), "exec"), module.__dict__)


def noticed(mutant: Mutant, tests: list[str]) -> bool:
    """Whether one of these tests fails with the mutant. Ends all where it fails without the mutant too."""
    failed = _failed(mutant, tests)
    if failed and _fails_anyway(mutant.file, tuple(failed)):
        sys.exit(f"Without any change this fails: {', '.join(failed)}")
    return bool(failed)


@cache
def _fails_anyway(file: Path, tests: tuple[str, ...]) -> bool:
    whole = ast.parse(file.read_text(encoding="utf-8"))
    return bool(_failed(Mutant(file, 0, "", "", whole), list(tests)))


def _failed(mutant: Mutant, tests: list[str]) -> list[str]:
    """The first of these tests that fails, in a process of its own; all of them where that ends before it can say."""
    reading, telling = os.pipe()
    child = os.fork()
    if child == 0:
        code = 1
        try:
            code = _tried(mutant, tests, telling)
        finally:
            os._exit(code)
    os.close(telling)
    with os.fdopen(reading, encoding="utf-8") as pipe:
        told = pipe.read().splitlines()
    _, status = os.waitpid(child, 0)
    return (told[:1] or tests) if status else []


class Telling:
    """Tells through a pipe which test failed."""

    def __init__(self, pipe: int) -> None:
        self.pipe = pipe

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """Tell a test that failed, or whose preparation did."""
        if report.failed:
            os.write(self.pipe, f"{report.nodeid}\n".encode())


def _tried(mutant: Mutant, tests: list[str], telling: int) -> int:
    import pytest

    for limit, most in ((resource.RLIMIT_CPU, SECONDS), (resource.RLIMIT_AS, MEMORY)):
        resource.setrlimit(limit, (most, most))
    sys.meta_path.insert(0, Changed(mutant))
    options = [*ALONE, "-x", "-p", "no:cov", "--tb=no", "--assert=plain", *tests]
    with redirect_stdout(io.StringIO()), redirect_stderr(io.StringIO()):
        return int(pytest.main(options, plugins=[Telling(telling)]))


def warm_up() -> None:
    """Load what others wrote once, so that each process has it; what is ours is loaded anew in each."""
    for name in (
        "pytest",
        "hypothesis",
        "pydantic",
        "yaml",
        "cryptography.hazmat.primitives.asymmetric.ed25519",
    ):
        import_module(name)


def lines_and_tests(package: str, kept: str = "") -> dict[tuple[str, int], list[str]]:
    """Which tests run which line of a package; ``kept`` names a measurement with contexts that is there already."""
    from coverage import CoverageData

    with tempfile.TemporaryDirectory() as folder:
        file = kept or f"{folder}/coverage"
        if not kept:
            command = [sys.executable, "-m", "pytest", *ALONE, f"tests/{package}",
                       f"--cov=trainer.{package}", "--cov-context=test", "--cov-report="]  # fmt: skip
            subprocess.run(command, cwd=HOUSE, env={**os.environ, "COVERAGE_FILE": file}, check=True)
        data = CoverageData(file)
        data.read()
        found: dict[tuple[str, int], list[str]] = {}
        for name in data.measured_files():
            for line, contexts in data.contexts_by_lineno(name).items():
                found[name, line] = sorted({one.rpartition("|")[0] for one in contexts if one})
            every = {test for (file, _), tests in found.items() if file == name for test in tests}
            found[name, 0] = sorted(every)  # for what is run once, when the module is loaded
    return found


def drawn(tests: list[str], chance: random.Random) -> list[list[str]]:
    """These in parts of MOST_TESTS, by turns one of each function, so that cases of one that has a thousand come last."""
    cases: dict[str, list[str]] = {}
    for test in chance.sample(tests, len(tests)):
        cases.setdefault(test.partition("[")[0], []).append(test)
    turns = zip_longest(*cases.values())
    order = [test for turn in turns for test in turn if test is not None]
    return [order[place : place + MOST_TESTS] for place in range(0, len(order), MOST_TESTS)]


def main() -> None:
    """Try the mutants and say which were not noticed."""
    package = sys.argv[1]
    most, seed, first = (
        int(sys.argv[n]) if len(sys.argv) > n else standard for n, standard in ((2, 60), (3, 0), (4, 1))
    )
    known = lines_and_tests(package, os.environ.get("MEASURED", ""))
    warm_up()
    every = [one for file in sorted((HOUSE / "trainer" / package).rglob("*.py")) for one in places(file)]
    chosen = random.Random(seed).sample(every, min(most, len(every)))
    left, begun = 0, time.monotonic()
    for number, place in enumerate(chosen[first - 1 :], first):
        mutant = made(*place)
        tests = known.get((str(mutant.file), mutant.line)) or known.get((str(mutant.file), 0), [])
        parts = drawn(tests, random.Random(seed))
        if not any(noticed(mutant, part) for part in parts):
            left += 1
            print(f"{'not noticed' if parts else 'no test'}: {number}: {mutant}", flush=True)
        print(f"{number} of {len(chosen)}, {left} left, {time.monotonic() - begun:.0f} s", flush=True)
    tried = len(chosen) - first + 1
    print(f"{package}: {tried - left} of {tried} noticed, drawn from {len(every)}")


if __name__ == "__main__":
    main()
