"""Which unit a drawing is in: by its dimensions' texts, by its header where they are silent."""

from __future__ import annotations

from collections import Counter
from enum import StrEnum
from typing import TYPE_CHECKING

from staking.frozen import frozen
from staking.notices import Notice, Severity, notice
from staking.units import INCH, Unit

if TYPE_CHECKING:
    from collections.abc import Sequence

    from staking.outline.designers_drawing import DrawnDimension, PlanDrawing

_TEXT_STEP = INCH / 4
"""What a dimension's text may differ from what it measures, m: it is rounded when it is written
(common practice, no source)."""
_PART = 0.002
"""And as a part of its length; the feet of 0.3048 m and of the survey differ by a five
hundred thousandth, so texts never tell these two apart."""


class UnitSource(StrEnum):
    """Where the unit of a drawing was taken from."""

    GIVEN = "given"
    DIMENSIONS = "dimensions"
    HEADER = "header"


@frozen
class DrawnUnit:
    """The unit of a drawing, and where it was taken from; both None where nothing decides it."""

    unit: Unit | None
    source: UnitSource | None
    notices: tuple[Notice, ...]


def drawn_unit(drawing: PlanDrawing, given: Unit | None = None) -> DrawnUnit:
    """Decide the unit of a drawing.

    Parameters
    ----------
    drawing
        The drawing.
    given
        The unit that the user names; it stands over everything.

    Returns
    -------
    DrawnUnit
        The unit in which most dimensions' texts equal what they measure; the header's where no
        text names a unit. A contradiction between the two is a notice.
    """
    said: list[Notice] = []
    votes = unit_votes(drawing.dimensions)
    by_text = most_votes(votes)
    header = drawing.header_unit
    if by_text is not None and header is Unit.US_FT and by_text is Unit.FT:
        by_text = header
    if by_text is not None and header is not None and by_text is not header:
        said.append(
            notice(
                "drawing-units-differ",
                "the drawing's header says {header}, and its dimensions are right in {unit} "
                "({count} of {total}); {unit} are taken",
                header=header.plural,
                unit=by_text.plural,
                count=votes[by_text],
                total=sum(votes.values()),
            )
        )
    if given is not None:
        decided = by_text or header
        if decided is not None and decided is not given:
            said.append(
                notice(
                    "drawing-unit-given",
                    "the drawing is read in {given} as given; by its {source} it is in {unit}",
                    given=given.plural,
                    source="dimensions" if by_text else "header",
                    unit=decided.plural,
                )
            )
        return DrawnUnit(unit=given, source=UnitSource.GIVEN, notices=tuple(said))
    if by_text is not None:
        return DrawnUnit(unit=by_text, source=UnitSource.DIMENSIONS, notices=tuple(said))
    if header is not None:
        said.append(
            notice(
                "drawing-unit-header",
                "no dimension of the drawing tells its unit; {unit} are taken, as the header says: "
                "hold one side against the paper",
                severity=Severity.NOTE,
                unit=header.plural,
            )
        )
        return DrawnUnit(unit=header, source=UnitSource.HEADER, notices=tuple(said))
    return DrawnUnit(unit=None, source=None, notices=tuple(said))


def unit_votes(dimensions: Sequence[DrawnDimension]) -> Counter[Unit]:
    """Count, for each unit, the dimensions whose text is right when the drawing is in it.

    Parameters
    ----------
    dimensions
        Of the drawing.

    Returns
    -------
    Counter of Unit
        Empty where no text tells a unit.
    """
    votes: Counter[Unit] = Counter()
    for each in dimensions:
        if each.length is not None:
            # The two feet are one here: no text on a building tells them apart.
            for unit in (Unit.MM, Unit.IN, Unit.FT, Unit.M):
                if _equal(each.measured * unit.metres, each.length):
                    votes[unit] += 1
        elif each.bare is not None and each.bare > 0:
            # A bare number that differs from what is measured by a thousand is millimetres on a
            # drawing in metres, or the other way round; an equal one tells nothing.
            if _equal(each.measured, each.bare / 1000):
                votes[Unit.M] += 1
            elif _equal(each.measured / 1000, each.bare):
                votes[Unit.MM] += 1
    return votes


def _equal(one: float, other: float) -> bool:
    return abs(one - other) <= max(_TEXT_STEP, _PART * other)


def most_votes(votes: Counter[Unit]) -> Unit | None:
    """Return the unit with the most votes; None without votes, or where two have as many."""
    ranked = votes.most_common(2)
    if not ranked:
        return None
    if len(ranked) == 2 and ranked[0][1] == ranked[1][1]:
        return None
    return ranked[0][0]
