"""Faults with places: what went wrong, where, and what would be right.

The classes map to the exit statuses that users rely on: bad input is 3, something that
cannot be computed or written is 4.
"""

from __future__ import annotations

from dataclasses import field as dataclass_field

from staking.frozen import frozen


class ProjectError(Exception):
    """Root of every error this program raises on purpose."""

    exit_status = 4


class MeasureError(ProjectError, ValueError):
    """Text that is not the measure it should be.

    Parameters
    ----------
    message
        What was read and what is wrong with it: ``24' 13" has 13 inches``.
    remedy
        What to write, as an imperative: ``write 25' 1"``. Empty where nothing can be guessed.
    """

    exit_status = 3

    def __init__(self, message: str, remedy: str = "") -> None:
        super().__init__(f"{message}; {remedy}" if remedy else message)
        self.message = message
        self.remedy = remedy


@frozen
class Problem:
    """One fault in something the user gave.

    Parameters
    ----------
    message
        What was read and what is wrong with it, without a final stop.
    remedy
        What to do, as an imperative; empty where the message says it all.
    path
        The file as the user named it, or None for the command line.
    line
        Line number counted from 1, or None.
    field
        The field in words (``walls C-D footing width``), or None.
    place
        Keys and positions from the top of the job file to the field, or None.
    """

    message: str
    remedy: str = ""
    path: str | None = None
    line: int | None = None
    field: str | None = None
    place: tuple[str | int, ...] | None = dataclass_field(default=None, compare=False, repr=False)

    def __str__(self) -> str:
        place = ", ".join(
            part
            for part in (
                self.path,
                f"line {self.line}" if self.line is not None else None,
                self.field,
            )
            if part
        )
        return f"{place}: {self.sentence}" if place else self.sentence

    @property
    def sentence(self) -> str:
        """What is wrong and what to do, without where."""
        return f"{self.message}; {self.remedy}" if self.remedy else self.message


class InputError(ProjectError, ValueError):
    """What the user gave cannot be used; carries every fault that was found.

    Parameters
    ----------
    problems
        The faults, at least one, in the order they are to be read.
    """

    exit_status = 3

    def __init__(self, *problems: Problem) -> None:
        super().__init__("\n".join(str(problem) for problem in problems))
        self.problems = problems


class ComputationError(ProjectError, ArithmeticError):
    """Sound input from which the answer cannot be computed.

    Parameters
    ----------
    why
        The sentence, or a problem with its place in the job file, which `problem` then keeps.
    """

    def __init__(self, why: str | Problem) -> None:
        super().__init__(str(why))
        self.problem = why if isinstance(why, Problem) else None


class WriteError(ProjectError, OSError):
    """A result that cannot be written where it should go."""
