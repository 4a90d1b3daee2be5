"""What was taped on the poured footing: offsets from the strings, tops, thicknesses."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from difflib import get_close_matches
from pathlib import Path
from typing import TYPE_CHECKING

from staking.adjust.pour.taped_rows import PouredRow
from staking.errors import InputError, MeasureError, Problem
from staking.job.tree.source import read_text
from staking.measure.lengths import Unit, format_length, parse_length
from staking.tolerances import ON_LINE

if TYPE_CHECKING:
    from staking.plan import Options, Plan

READ = ("outer", "inner", "top", "down", "thickness")
"""The columns that are filled in; the first two are left and right on an interior line."""

PAD_WAYS = ("x", "y")
"""Which way across a pad its edges are taped from its centre: its first and its second size."""

ALIASES = {
    **dict.fromkeys(
        (
            "outer or left",
            "left",
            "outer edge",
            "left edge",
            "outside edge",
            "outer footing edge",
            "left footing edge",
            "to outer edge",
            "to left edge",
        ),
        "outer",
    ),
    **dict.fromkeys(
        (
            "inner or right",
            "right",
            "inner edge",
            "right edge",
            "inside edge",
            "inner footing edge",
            "right footing edge",
            "to inner edge",
            "to right edge",
        ),
        "inner",
    ),
    "top of footing": "top",
    "thick": "thickness",
    "down from string": "down",
    "on": "wall",
    "where": "wall",
    "station": "at",
}
"""What else a column may be called."""


_BESIDE = frozenset({
    "wall",
    "at",
    "",
    "note",
    "notes",
    "remark",
    "remarks",
    "description",
    "date",
    "by",
})
"""Columns that hold nothing measured; those that end in ``plan`` are what it should read."""


def is_poured_book(text: str) -> bool:
    """Tell by its first line whether a text is a book of the poured footing."""
    headings = _headings(text)
    return "wall" in headings and "at" in headings


def is_tape_book(text: str) -> bool:
    """Tell by its first line whether a text is a tape book, corner to corner."""
    headings = _headings(text)
    return "from" in headings and "to" in headings


def _head(text: str) -> str:
    # the first line that is neither blank nor a comment
    lines = text.lstrip("\ufeff").splitlines()
    return next((line for line in lines if line.strip() and not line.startswith("#")), "")


def _separator(text: str) -> str:
    return max((",", ";", "\t"), key=_head(text).count)


def _headings(text: str) -> list[str]:
    first = next(csv.reader([_head(text)], delimiter=_separator(text)), [])
    plain = [" ".join(cell.lower().replace("_", " ").split()) for cell in first]
    return [ALIASES.get(cell, cell) for cell in plain]


def read_poured_book(path: Path, plan: Plan, options: Options) -> tuple[PouredRow, ...]:
    """Read a book of the poured footing.

    Parameters
    ----------
    path
        A CSV with columns ``wall``, ``at`` and any of ``outer``, ``inner``, ``top``, ``down``,
        ``thickness``, as `staking record JOB --blank` writes it.
    plan, options
        The job.

    Returns
    -------
    tuple of PouredRow
        Lines with nothing filled in are passed over.

    Raises
    ------
    InputError
        Every fault of the file.
    """
    text = read_text(path)
    return parse_poured_book(text, str(path), plan, options)


def parse_poured_book(text: str, name: str, plan: Plan, options: Options) -> tuple[PouredRow, ...]:
    """Read the text of a book of the poured footing.

    Parameters
    ----------
    text
        The text.
    name
        The file as the user named it.
    plan, options
        The job.

    Returns
    -------
    tuple of PouredRow
        In the order of the file.

    Raises
    ------
    InputError
        Every fault.
    """
    reader = _PouredReader(plan, options, name)
    headings = _headings(text)
    twice = sorted({each for each in headings if each and headings.count(each) > 1})
    for each in twice:
        reader.fault(f"there are two columns {each}", "keep one", 1)
    if not set(headings) & set(READ):
        reader.fault("the first line has nothing that was measured", f"add {', '.join(READ)}", 1)
    unknown = [
        each for each in headings if each not in {*READ, *_BESIDE} and not each.endswith("plan")
    ]
    rows = csv.reader(io.StringIO(text.lstrip("\ufeff")), delimiter=_separator(text))
    found, is_head = [], True
    for row in rows:
        if not any(cell.strip() for cell in row) or row[0].lstrip().startswith("#"):
            continue
        if is_head:
            is_head = False
            continue
        cells = dict(zip(headings, (cell.strip() for cell in row), strict=False))
        for each in [each for each in unknown if cells.get(each)]:
            # What was measured is judged or refused, never passed over.
            unknown.remove(each)
            near = get_close_matches(each, (*READ, *ALIASES), n=1)
            other = f"call it {ALIASES.get(near[0], near[0])}" if near else "call it note"
            reader.fault(
                f"the column {each} is filled in and not known",
                f"{other}; the columns are wall, at, {', '.join(READ)}",
                1,
            )
        if not any(cells.get(each) for each in READ):
            continue
        taken = reader.row(cells, rows.line_num)
        if taken is not None:
            found.append(taken)
    if not found and not reader.problems:
        reader.fault("nothing is filled in", f"fill in {', '.join(READ)}, or leave the file out")
    if reader.problems:
        raise InputError(*reader.problems)
    return tuple(found)


class _PouredReader:
    """Turns lines into rows of one job, collecting every fault."""

    def __init__(self, plan: Plan, options: Options, path: str) -> None:
        self.lengths: dict[str, float] = {}
        self.names: dict[str, tuple[str, bool]] = {}
        self.options, self.path = options, path
        self.problems: list[Problem] = []
        for building in plan.buildings:
            points = {corner.name: corner for corner in building.corners}
            for wall in building.walls:
                if wall.existing is not None:
                    continue
                a, b = points[wall.start], points[wall.end]
                self.lengths[wall.name] = ((a.x - b.x) ** 2 + (a.y - b.y) ** 2) ** 0.5
                self.names[wall.reversed_name] = (wall.name, True)
                self.names[wall.name] = (wall.name, False)
        for line in plan.interior:
            (x1, y1), (x2, y2) = line.start, line.end
            self.lengths[line.name] = ((x1 - x2) ** 2 + (y1 - y2) ** 2) ** 0.5
            self.names[line.name] = (line.name, False)
        self.pads = {pad.name for pad in plan.pads}

    def fault(self, message: str, remedy: str, line: int | None = None, field: str = "") -> None:
        self.problems.append(
            Problem(message=message, remedy=remedy, path=self.path, line=line, field=field or None)
        )

    def length(self, cells: dict[str, str], field: str, line: int) -> float | None:
        text = cells.get(field)
        if not text:
            return None
        try:
            return parse_length(text, Unit(self.options.unit))
        except MeasureError as fault:
            self.fault(fault.message, fault.remedy, line, field)
            return None

    def row(self, cells: dict[str, str], line: int) -> PouredRow | None:
        before = len(self.problems)
        said = cells.get("wall", "")
        if said in self.pads:
            return self._pad(said, cells, line)
        known = self.names.get(said)
        if known is None:
            self._unknown(said, line)
        if not cells.get("at"):
            self.fault("nothing says where along the wall", "fill in at", line, "at")
        station = self.length(cells, "at", line)
        values = self.values(cells, line)
        if known is None or station is None or len(self.problems) > before:
            return None
        where, from_end = known
        whole = self.lengths[where]
        # the footing runs past the wall's corner by its own projection
        if not -1.0 - ON_LINE <= station <= whole + 1.0:
            long = format_length(whole, self.options.show, self.options.nearest)
            self.fault(
                f"{cells['at']} is not on {said}, which is {long} long",
                f"count from {said.partition('-')[0]}",
                line,
                "at",
            )
            return None
        # seen from the other end left and right are where they were
        here = whole - station if from_end else station
        return PouredRow(where=where, station=here, line=line, way="", **values)

    def values(self, cells: dict[str, str], line: int) -> dict[str, float | None]:
        values = {each: self.length(cells, each, line) for each in READ}
        thick = values["thickness"]
        if thick is not None and thick <= 0:
            text = cells["thickness"]
            self.fault(f"{text} is not above zero", "write what was read", line, "thickness")
        if values["top"] is not None and values["down"] is not None:
            self.fault("top and down are both given", "keep one of the two", line, "down")
        return values

    def _pad(self, name: str, cells: dict[str, str], line: int) -> PouredRow | None:
        before = len(self.problems)
        values = self.values(cells, line)
        way = cells.get("at", "").casefold()
        if way not in PAD_WAYS and (way or any(values[each] is not None for each in READ[:2])):
            said = f"{cells['at']} is not a way across" if way else "nothing says which way across"
            self.fault(f"{said} the pad {name}", "write x or y", line, "at")
        if len(self.problems) > before:
            return None
        return PouredRow(where=name, station=None, line=line, way=way, **values)

    def _unknown(self, said: str, line: int) -> None:
        near = get_close_matches(said.upper(), self.names, n=1)
        walls: Sequence[str] = list(self.lengths)
        there = ", ".join(walls[:12]) + (" …" if len(walls) > 12 else "")
        hint = f"did you mean {near[0]}?" if near else f"there are {there}"
        self.fault(f"{said or 'nothing'} is not a wall or interior line of the job", hint, line)
