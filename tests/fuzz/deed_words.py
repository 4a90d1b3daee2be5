"""Feeds the reader of deeds bytes that a fuzzer makes, and walks round what comes out."""

from __future__ import annotations

import contextlib

from one_reader import run

UNITS = ("ft", "us-ft", "in", "m", "mm")
FEWEST = 3


def read_one(data: bytes) -> None:
    """Read one input, whose first byte chooses the unit of bare numbers."""
    from staking.deed import Deed
    from staking.errors import ProjectError
    from staking.measure.deed.course import read_course
    from staking.measure.deed.description import read_description
    from staking.site.deed.deed_lot import lot_of_deed
    from staking.site.deed.deed_notices import deed_notices
    from staking.site.site_request import DeedAsked
    from staking.units import Unit

    if not data:
        return
    unit = Unit(UNITS[data[0] % len(UNITS)])
    text = data[1:].decode("utf-8", errors="replace")
    with contextlib.suppress(ProjectError):
        read_course(text, unit)
    with contextlib.suppress(ProjectError):
        courses = read_description(text, unit).courses
        if len(courses) >= FEWEST:
            corners = tuple(str(number) for number in range(len(courses)))
            deed_notices(lot_of_deed(DeedAsked(deed=Deed(courses=courses, corners=corners)), {}))


if __name__ == "__main__":
    run(read_one)
