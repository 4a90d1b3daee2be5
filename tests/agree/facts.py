"""Facts and who tells them: each is worked out once, and every output must say the same.

To add a fact, write a reader for each output that tells it and append a `Fact` to `FACTS` in a
module named ``facts_….py`` here, which `tests/agree/test_one_fact.py` imports.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from tests.agree.papers import Papers

Said = dict[str, str]
"""What one output says: a key for each thing told (a board's number, a pair of corners …), and
the words or figures that stand there."""

Reader = Callable[[Papers], Said]


@dataclass(frozen=True)
class Fact:
    """One fact of a job.

    Parameters
    ----------
    name
        What it is, for the test's name.
    truth
        Reads it from the JSON document.
    outputs
        Reads it from each other output; each must say it of the same keys in the same words.
    applies
        Whether a job has it at all.
    """

    name: str
    truth: Reader
    outputs: Mapping[str, Reader]
    applies: Callable[[Papers], bool] = field(default=lambda _: True)


FACTS: list[Fact] = []
