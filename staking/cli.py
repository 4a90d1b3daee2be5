"""The `staking` command: each subcommand is loaded when it is asked for."""

from __future__ import annotations

import gc
import importlib
import os
from typing import Any

import click

from staking import __version__
from staking.errors import ProjectError
from staking.output.progress_bar import progress_bar
from staking.output.standard_streams import (
    READER_GONE,
    OutputLostError,
    end_when_told,
    guard_standard_streams,
    last_words,
    say_lost,
)
from staking.progress import show_progress

COMMANDS = {
    "desk": ("staking.commands.desk", "The job as a form in the browser, the plan beside it."),
    "init": ("staking.commands.init", "Write a job file to start from."),
    "outline": ("staking.commands.outline", "The outline of a building from a drawing."),
    "survey": ("staking.commands.survey", "What a survey file holds; write it in another format."),
    "layout": (
        "staking.commands.layout",
        "Strings, boards, paint and tapes of a job, with its sheets.",
    ),
    "plan": ("staking.commands.plan", "The order of work for two people and one tape."),
    "stakeout": ("staking.commands.stakeout", "Tapes and angles to every stake of a job."),
    "tape-book": ("staking.commands.tape_book", "An empty tape book to fill in on site."),
    "check": ("staking.commands.check", "Square or not by what was taped, and what to move."),
    "grade": ("staking.commands.grade", "How deep, where to step, what the rod must read."),
    "order": ("staking.commands.order", "What to buy, every figure with its arithmetic."),
    "weigh": ("staking.commands.weigh", "Other heights of the wall and other places, compared."),
    "record": ("staking.commands.record", "The poured footing against the plan, for the file."),
    "diagonal": ("staking.commands.diagonal", "Diagonal, 3-4-5 and racking of a rectangle."),
}
"""Every command as one comes to it in the work: the module that holds it as `command`, and its
line in the help."""


class LazyGroup(click.Group):
    """A group that imports a command's module only to run it, and turns faults into text."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Return the names of all commands.

        Returns
        -------
        list[str]
            The names, as one comes to them in the work.
        """
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Import one command.

        Returns
        -------
        click.Command or None
            The command, or None where there is none of that name.
        """
        if cmd_name not in COMMANDS:
            return None
        command: click.Command = importlib.import_module(COMMANDS[cmd_name][0]).command
        return command

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Find the command, naming the nearest one for a misspelt name.

        Returns
        -------
        tuple
            Its name, the command, and the arguments left for it.

        Raises
        ------
        click.UsageError
            When there is no such command.
        """
        name = args[0] if args else ""
        if name and not name.startswith("-") and name not in COMMANDS:
            from difflib import get_close_matches

            near = get_close_matches(name.lower(), COMMANDS, n=1)
            hint = f"did you mean {near[0]}?" if near else f"there are {', '.join(COMMANDS)}."
            raise click.UsageError(f"no command {name!r}; {hint}", ctx)
        return super().resolve_command(ctx, args)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """List the commands from the table, so that the help loads none of them."""
        with formatter.section("Commands"):
            formatter.write_dl([(name, COMMANDS[name][1]) for name in self.list_commands(ctx)])

    def invoke(self, ctx: click.Context) -> Any:
        """Run the command; a foreseen fault becomes text on standard error and its status.

        Returns
        -------
        Any
            What the command returned.
        """
        # A command makes values that live until it ends: looking for cycles among them finds
        # none and takes a tenth of the time.
        collects = gc.isenabled()
        gc.disable()
        try:
            return super().invoke(ctx)
        except ProjectError as error:
            click.echo(str(error), err=True)
            return ctx.exit(error.exit_status)
        finally:
            if collects:
                gc.enable()


@click.group(
    cls=LazyGroup,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 80},
    epilog="Lengths need no quote marks: 24ft, 24-6-1/2 (feet-inches-fraction), 11.2m.",
)
@click.version_option(__version__, prog_name="staking", message="%(prog)s %(version)s")
def main() -> None:
    """From a foundation plan to strings, boards, paint and tapes.

    Begin with `staking desk`, a form in the browser, or with `staking init`, a job file to write
    your own figures into.
    """
    show_progress(progress_bar)


def run() -> None:
    """Run the command line as a process of its own, and leave as soon as it is done.

    Taking a million small objects apart one by one before the process ends takes a tenth of a
    second that nobody needs: what was written is flushed, and the system takes the rest back.
    A crash keeps its traceback and its status 1.

    Linear algebra takes one processor. The networks of a house are far too small to gain from more:
    where other programs run, the library's threads wait for each other several times as long as
    they work, and how many there are would decide in which order sums are added up.

    Raises
    ------
    SystemExit
        Where the end carries a message.
    """
    guard_standard_streams()
    end_when_told()
    # Read when NumPy is loaded, which is after this; what somebody set is left.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    try:
        main()
    except SystemExit as end:
        if not isinstance(end.code, int | None):
            raise
        status = end.code or 0
    except OutputLostError as lost:
        status = say_lost(lost)
    os._exit(status if status == READER_GONE else last_words(status))
