"""Values of the site section read one by one from the tree, each fault noted where it stands."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

from staking.errors import MeasureError
from staking.job.faults import Faults
from staking.job.fields import length_of
from staking.job.source import Branch, Items, Scalar
from staking.measure.lengths import Unit, parse_bearing, parse_length

Anything = TypeVar("Anything")

_LOOK_UP = object()
"""Says that a value is to be looked up by its key."""

_FAR = 1e8
"""No grid coordinate reaches this, m."""


class NodeReader:
    """Reads values of one section, noting every fault.

    Parameters
    ----------
    branch
        The section.
    unit
        What bare lengths and coordinates are in; the job's unit where None.
    folder
        Paths are relative to it.
    faults
        Where faults are noted.
    """

    def __init__(self, branch: Branch, unit: Unit | None, folder: Path, faults: Faults) -> None:
        self.branch = branch
        self.given_unit = unit
        self.unit = unit or faults.unit
        self.folder = folder
        self.faults = faults

    def fault(self, place: tuple[str | int, ...], message: str, remedy: str) -> None:
        """Note a fault at a place within the section."""
        self.faults.add((*self.branch.place, *place), message, remedy)

    def attempt(
        self, place: tuple[str | int, ...], reader: Callable[[Any], Anything], node: Any = _LOOK_UP
    ) -> Anything | None:
        """Read one value, noting its fault; None where it is left out or faulty."""
        if node is _LOOK_UP:
            node = self.branch.get(str(place[0]))
        if node is None:
            return None
        try:
            return reader(node)
        except MeasureError as error:
            self.faults.add_error((*self.branch.place, *place), error)
            return None

    def length(self, node: Any) -> float:
        """Read a length of either sign, m."""
        return length_of(node, self.unit)

    def not_negative(self, node: Any) -> float:
        """Read a length of zero or more, m."""
        metres = self.length(node)
        if metres < 0.0:
            raise MeasureError(f"{node.text} is less than zero", "write zero or more")
        return metres

    def coordinate(self, node: Any) -> float:
        """Read a northing or easting, which may be thousands of kilometres."""
        text = own_text(node)
        metres = parse_length(text, self.unit)
        if not abs(metres) < _FAR:
            raise MeasureError(f"{text} is no coordinate", "check the number and its unit")
        return metres

    def names(self, place: tuple[str | int, ...], node: Any, least: int) -> tuple[str, ...]:
        """Read a list of at least so many names; empty where it is left out or faulty."""
        if node is None:
            return ()
        if not isinstance(node, Items) or len(node) < least:
            self.fault(place, f"a list of {least} points or more is due here",
                        "write their names in [ ]")  # fmt: skip
            return ()
        found = [self.attempt((*place, i), own_text, item) for i, item in enumerate(node)]
        return () if None in found else tuple(name for name in found if name is not None)

    def due(self, place: tuple[str | int, ...], branch: Branch, keys: tuple[str, ...]) -> bool:
        """Say whether every key that is due is there, noting those that are not."""
        missing = [key for key in keys if key not in branch]
        if missing:
            self.fault(place, f"{' and '.join(missing)} {'is' if len(missing) == 1 else 'are'} "
                        "missing", f"give {', '.join(keys)}")  # fmt: skip
        return not missing


def own_text(node: Any) -> str:
    """Give a single value's own text, as typed."""
    if not isinstance(node, Scalar) or node.is_empty or not node.text.strip():
        raise MeasureError("one value is due here", "write a name or a number")
    return node.text.strip()


def read_bearing(node: Any) -> float:
    """Read a bearing or an azimuth, rad clockwise from north."""
    return parse_bearing(own_text(node))
