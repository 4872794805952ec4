"""The command line: `trainer [--instance DIR] COMMAND`.

A command is a row of the table below; its module is imported when the command is asked for, so that
`trainer --version` and `trainer --help` start at once. A command finds the settings of the instance
in ``ctx.obj``. Errors that are meant for a person are shown as their sentence on standard error.
"""

from __future__ import annotations

import errno
import sys
from collections.abc import Sequence
from importlib import import_module
from pathlib import Path
from typing import Any, NamedTuple

import click

from trainer import __version__
from trainer.cli.instance import default_instance
from trainer.errors import TrainerError


class Row(NamedTuple):
    """Where a command is written and what it does, in a few words."""

    place: str
    says: str


COMMANDS: dict[str, dict[str, Row]] = {
    "Start": {
        "serve": Row("serve:serve", "Start the pages; the first run makes the instance folder."),
        "demo": Row("demo:demo", "Fill an empty instance with the invented Tarn Valley shop."),
        "selfcheck": Row("selfcheck:selfcheck", "Say in sentences what is in order and what is not."),
    },
    "Calculate": {
        "work": Row("drilling:work", "Solve a drill with the values of a real part."),
        "mark": Row("drilling:mark", "Judge a typed answer to an exercise."),
        "bank": Row("bank:bank", "Check the question bank, draw an exercise."),
    },
    "Records": {
        "standing": Row("standing:standing", "Judge history files by a qualification scheme."),
        "export": Row("exporting:export", "Write one person's record to a file."),
        "verify": Row("verify:verify", "Say whether an exported record is valid."),
        "sign": Row("sign:sign", "Put your signature to a record, beside its issuer's."),
        "audit": Row("keeping:audit", "Walk the chain of everything that was entered."),
    },
    "Keep": {
        "person": Row("people:person", "Add a person, list people."),
        "roster": Row("people:roster", "Take a class list from a spreadsheet."),
        "key": Row("keys:key", "Show the signing key; introduce the next one; make your own."),
        "backup": Row("keeping:backup", "Copy the instance to a folder, also while it is running."),
        "restore": Row("keeping:restore", "Bring a backup back."),
        "move": Row("moving:move", "Move the records to another database, with proof that all came along."),
        "migrate": Row("keeping:migrate", "Bring the database to this version."),
        "languages": Row("languages:languages", "Bring the translations up to date; say what is missing."),
    },
}

BROKEN = 70  # "internal software error" in the list of exit codes that Unix has kept since 1983

EXAMPLES = """\
\b
Examples:
  trainer serve --demo                  look at everything with invented people
  trainer serve --lan                   let the phones of a classroom in
  trainer work coil-low-fill-wall --given "L=10 in" --given "D=2 in" --given "N=5"
  trainer verify record.json            is this record valid?
  trainer COMMAND --help                what a command takes, with examples
"""


class Commands(click.Group):
    """A group whose commands are imported when they are asked for."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """The names of all commands, in the order of the table."""
        return [name for rows in COMMANDS.values() for name in rows]

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Import the module of a command and give the command."""
        for rows in COMMANDS.values():
            if cmd_name in rows:
                module, attribute = rows[cmd_name].place.split(":")
                command: click.Command = getattr(import_module(f"trainer.cli.{module}"), attribute)
                return command
        return None

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """List the commands by what they are for, without importing any."""
        for heading, rows in COMMANDS.items():
            listed = [(name, row.says) for name, row in rows.items()]
            if listed:
                with formatter.section(heading):
                    formatter.write_dl(listed)

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Find the command; an unknown word gets the nearest names."""
        try:
            return super().resolve_command(ctx, args)
        except click.UsageError as fault:
            raise click.UsageError(_nearest(args[0], self.list_commands(ctx)), ctx) from fault

    def invoke(self, ctx: click.Context) -> Any:
        """Run the command; turn errors into sentences, and surprises into a reference and a log."""
        try:
            return super().invoke(ctx)
        except TrainerError as error:
            click.echo(str(error), err=True)
            ctx.exit(error.exit_code)
        except click.exceptions.NoArgsIsHelpError:
            raise
        except click.UsageError as fault:
            asked = fault.ctx.command_path if fault.ctx is not None else "trainer"
            click.echo(f"{fault.format_message()} '{asked} --help' says what it takes.", err=True)
            ctx.exit(fault.exit_code)
        except (click.ClickException, click.exceptions.Exit, click.Abort):
            raise
        except Exception as surprise:
            if isinstance(surprise, OSError) and surprise.errno == errno.EPIPE:
                raise
            from trainer.cli.surprise import sentence_for

            click.echo(sentence_for(surprise, ctx.params.get("instance")), err=True)
            ctx.exit(BROKEN)


def _nearest(word: str, names: Sequence[str]) -> str:
    from difflib import get_close_matches

    near = get_close_matches(word, names, n=2, cutoff=0.55)
    hint = f"Did you mean {' or '.join(near)}?" if near else "'trainer --help' lists what there is."
    return f"There is no command '{word[:40]}'. {hint}"


@click.group(cls=Commands, epilog=EXAMPLES, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, message="trainer %(version)s")
@click.option(
    "--instance",
    type=click.Path(file_okay=False, path_type=Path),
    default=default_instance,
    envvar="TRAINER_INSTANCE",
    metavar="DIR",
    help="Folder that holds what this installation owns: settings, database, signing key. "
    "Without it: instance/ of a checkout, else a folder of your own account.",
)
@click.pass_context
def trainer(ctx: click.Context, instance: Path) -> None:
    """Magnetic particle testing: calculation drills, examinations, qualification records.

    Everything stays on this machine. Results of drills are training aids: the written procedure governs.
    """
    from trainer.settings import Settings

    ctx.obj = Settings.load(instance)


def main() -> None:
    """Run the command line, with UTF-8 also on consoles that would write something else."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(encoding="utf-8", errors="replace")
    trainer(prog_name="trainer")
