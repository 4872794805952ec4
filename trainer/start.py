"""Set up this copy of the trainer and start it, with nothing but Python 3.11 or newer.

    python3 -m trainer.start                 set up, then start the demo
    python3 -m trainer.start --lan           the same; what follows is given to `trainer serve --demo`
    python3 -m trainer.start test [...]      set up, then run the tests; what follows is given to pytest
    python3 -m trainer.start wheels [DIR]    collect what an installation without internet needs; with --everywhere
                                             for Windows, macOS and Linux alike

Everything goes into the folder .venv of this copy, so a system Python that refuses `pip install`
(PEP 668) is no obstacle. If there is a folder wheelhouse/, nothing is fetched from the internet.
"""

# Only the standard library, and only syntax that older Pythons can read: they must get as far as
# the sentence below, not stop at a syntax error.
import sys

if sys.version_info < (3, 11):  # noqa: UP036  (this module also meets the Pythons that are too old)
    sys.exit(
        "The trainer needs Python 3.11 or newer; this is Python %d.%d. Install a newer Python from your "  # noqa: UP031
        "system's packages or from the Python download page, then run the same command with it, for example: "
        "python3.11 -m trainer.start" % sys.version_info[:2]
    )

import hashlib
import importlib.util
import os
import platform
import shutil
import subprocess
import venv
from pathlib import Path

from trainer.installing import CannotSetUp, run_pip, what_went_wrong

ROOT = Path(__file__).resolve().parent.parent
ENVIRONMENT = ROOT / ".venv"
WHEELHOUSE = ROOT / "wheelhouse"
LOG = ENVIRONMENT / "install.log"
STAMP = "trainer-stamp.txt"


def main(arguments: list[str]) -> int:
    """Set up and hand over to the demo, the tests or the collecting of wheels; give the exit code."""
    verb, rest = (arguments[0], arguments[1:]) if arguments else ("", [])
    if verb in ("-h", "--help", "help"):
        print(__doc__)
        return 0
    if verb and verb not in ("test", "wheels") and not verb.startswith("-"):
        print(f"There is no '{verb}' here.\n{__doc__}", file=sys.stderr)
        return 2
    try:
        check_copy()
        python = set_up("test" if verb == "test" else "")
        if verb == "wheels":
            return collect_wheels(python, rest)
    except CannotSetUp as problem:
        print(f"\n{problem}", file=sys.stderr)
        return 1
    except KeyboardInterrupt:
        print("\nStopped. Run the same command again to go on.", file=sys.stderr)
        return 130
    if verb == "test":
        return hand_over([str(python), "-m", "pytest", *rest])
    return hand_over([str(python), "-m", "trainer.cli", "serve", "--demo", *arguments])


def check_copy() -> None:
    """Make sure this is a copy of the whole project, not an installed package."""
    if not (ROOT / "pyproject.toml").is_file():
        raise CannotSetUp(
            "This trainer is already installed, so there is nothing to set up. Start it with: trainer serve --demo"
        )


def set_up(extra: str) -> Path:
    """Make the environment and install the project into it, unless that is done; give its Python."""
    python = environment_python(ENVIRONMENT)
    wanted = stamp(extra)
    if python.exists() and wanted in read_stamps(ENVIRONMENT):
        return python
    try:
        installer = make_environment(python)
        install(installer, extra)
        (ENVIRONMENT / STAMP).write_text("\n".join(sorted({wanted, stamp("")})) + "\n", encoding="utf-8")
    except OSError as problem:
        raise CannotSetUp(
            f"Cannot write into {ENVIRONMENT} ({problem.strerror or problem}). Copy the project to a folder "
            "you may write to, on a disk with 500 MB free, and run the same command there."
        ) from problem
    return python


def environment_python(environment: Path) -> Path:
    """The Python inside an environment folder, on this kind of system."""
    return environment / ("Scripts/python.exe" if os.name == "nt" else "bin/python")


def stamp(extra: str) -> str:
    """What an installation depends on: the project file, this folder's place, this Python."""
    parts = ((ROOT / "pyproject.toml").read_bytes(), str(ROOT).encode(), platform.python_version().encode())
    return (extra or "trainer") + " " + hashlib.sha256(b"\0".join(parts)).hexdigest()


def read_stamps(environment: Path) -> list[str]:
    """The stamps of what is installed in an environment; none if it is new or half made."""
    try:
        return (environment / STAMP).read_text(encoding="utf-8").split("\n")
    except OSError:
        return []


def make_environment(python: Path) -> list[str]:
    """Make .venv, or make it again if it is half made; give the command that is pip for it."""
    if has_pip(python):
        return [str(python), "-m", "pip"]
    if Path(sys.prefix).resolve() == ENVIRONMENT.resolve():
        raise CannotSetUp(
            f"The environment {ENVIRONMENT} is half made and is the one that is running. "
            "Run the command with the system's own Python, for example: python3 -m trainer.start"
        )
    print(f"Making an environment of its own in {ENVIRONMENT}", flush=True)
    installer = [str(python), "-m", "pip"]
    bundled = importlib.util.find_spec("ensurepip") is not None
    if not bundled:
        installer = installer_without_ensurepip(python)
    builder = venv.EnvBuilder(with_pip=bundled, clear=True, symlinks=os.name != "nt")
    try:
        builder.create(ENVIRONMENT)
    except subprocess.CalledProcessError as problem:
        shutil.rmtree(ENVIRONMENT, ignore_errors=True)
        raise CannotSetUp(how_to_get_venv()) from problem
    return installer


def has_pip(python: Path) -> bool:
    """Whether an environment's Python runs, is new enough and has pip."""
    check = "import sys, pip; sys.exit(sys.version_info < (3, 11))"
    try:
        done = subprocess.run([str(python), "-c", check], capture_output=True, timeout=60, check=False)
    except (OSError, subprocess.TimeoutExpired):
        return False
    return done.returncode == 0


def installer_without_ensurepip(python: Path) -> list[str]:
    """Another pip for Pythons whose system keeps ensurepip in a package of its own."""
    for wheel in sorted(WHEELHOUSE.glob("pip-*.whl"), reverse=True):
        return [str(python), str(wheel / "pip")]
    if importlib.util.find_spec("pip") is not None:
        return [sys.executable, "-m", "pip", "--python", str(python)]
    raise CannotSetUp(how_to_get_venv())


def how_to_get_venv() -> str:
    """Say which package brings the missing part."""
    package = f"python{sys.version_info[0]}.{sys.version_info[1]}-venv"
    return (
        "This Python cannot make an environment because its part 'ensurepip' is missing. On Debian and Ubuntu "
        f"run: sudo apt install python3-venv (or {package}), then run the same command again. On other "
        "systems install the complete Python. Without internet a folder wheelhouse/ that holds pip does too."
    )


def install(installer: list[str], extra: str) -> None:
    """Install the project, editable, with what it needs; from wheelhouse/ if there is one."""
    offline = any(WHEELHOUSE.glob("*.whl"))
    origin = f"the folder {WHEELHOUSE}" if offline else "the package index (about 55 MB, once)"
    print(f"Installing the trainer's parts from {origin}", flush=True)
    target = f"{ROOT}[{extra}]" if extra else str(ROOT)
    command = [*installer, "install", *pip_sources(offline), "--editable", target]
    code, said = run_pip(command, LOG)
    if code:
        raise CannotSetUp(what_went_wrong(said, WHEELHOUSE if offline else None, LOG))


def pip_sources(offline: bool) -> list[str]:
    """Where pip may look for wheels."""
    return ["--no-index", "--find-links", str(WHEELHOUSE)] if offline else []


def collect_wheels(python: Path, arguments: list[str]) -> int:
    """Collect the wheels of the project and of all it needs, for machines like this one, into a folder.

    `--test` collects what the tests need as well, `--everywhere` what machines of other kinds need. The folder is filled only when everything is there,
    so that a half-collected one is never taken for whole.
    """
    with_tests = "--test" in arguments
    places = [argument for argument in arguments if not argument.startswith("-")]
    if len(places) > 1 or set(arguments) - set(places) - {"--test", "--everywhere"}:
        raise CannotSetUp(
            "Give at most one folder: python3 -m trainer.start wheels [--test] [--everywhere] [DIR]"
        )
    folder = Path(places[0]).resolve() if places else WHEELHOUSE
    part = folder.with_name(folder.name + ".part")
    shutil.rmtree(part, ignore_errors=True)
    print(
        f"Collecting wheels for {platform.system()} {platform.machine()}, Python {sys.version_info[0]}."
        f"{sys.version_info[1]} in {folder}",
        flush=True,
    )
    target = f"{ROOT}[test]" if with_tests else str(ROOT)
    command = [str(python), "-m", "pip", "wheel", "--prefer-binary", "--wheel-dir", str(part)]
    beside = [*requirements("build-system", "requires"), "pip"]
    fetch([*command, target, *beside], part)
    if "--everywhere" in arguments:
        from trainer import everywhere

        for kind, command in everywhere.downloads(
            python, part, [*requirements("project", "dependencies"), *beside]
        ):
            fetch(command, part, kind)
            print(f"{kind}, Python {sys.version_info[0]}.{sys.version_info[1]}: all there", flush=True)
    folder.mkdir(parents=True, exist_ok=True)
    wheels = sorted(part.glob("*.whl"))
    for wheel in wheels:
        wheel.replace(folder / wheel.name)
    part.rmdir()
    print(
        f"{len(wheels)} wheels. Put the folder as wheelhouse/ into a copy of this project and run there:\n"
        "  python3 -m trainer.start\n"
        "or install without the project's folder:\n"
        f"  python3 -m pip install --no-index --find-links '{folder.name}' mt-trainer"
    )
    return 0


def fetch(command: list[str], part: Path, kind: str = "") -> None:
    """Let pip fill a folder; where it cannot, the folder is taken away and a sentence says why."""
    code, said = run_pip(command, LOG)
    if code:
        shutil.rmtree(part, ignore_errors=True)
        raise CannotSetUp((f"{kind}: " if kind else "") + what_went_wrong(said, None, LOG))


def requirements(table: str, name: str) -> list[str]:
    """What building or running the project needs, as a list of pyproject.toml says."""
    import tomllib

    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    return [str(requirement) for requirement in project[table][name]]


def hand_over(command: list[str]) -> int:
    """Let the command take this process's place, so that signals and the exit code are its own."""
    sys.stdout.flush()
    os.chdir(ROOT)
    if os.name != "nt":
        os.execv(command[0], command)
    with subprocess.Popen(command) as running:
        while True:
            try:
                return running.wait()
            except KeyboardInterrupt:  # Ctrl-C reaches the child as well; let it finish its work
                continue


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
