"""Surveyed stakes and nails as tables: where the building stands, and which nail slides."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from staking.output.blocks import Block, Column, Listing, Table
from staking.output.tables.differences import fine, signed
from staking.output.wording import Words, safe

if TYPE_CHECKING:
    from staking.adjust.nails import NailSlide
    from staking.checked.stakes_checked import Checked
    from staking.checked.stakes_off_place import Off, Staked
    from staking.plan import Options


def place_blocks(checked: Checked) -> tuple[Block, ...]:
    """Say where the building stands, and how far each nail slides.

    Parameters
    ----------
    checked
        The check; without surveyed stakes there is nothing to say.

    Returns
    -------
    tuple of Table or Listing
        To be read after the verdict on the shape.
    """
    staked, words = checked.staked, Words(checked.options)
    if staked is None:
        return ()
    return (
        Listing(title="Is it in its place", lines=place_lines(staked, words)),
        _nails(staked, checked, words),
    )


def stakes_blocks(checked: Checked) -> tuple[Block, ...]:
    """Set out each stake and other point against its planned place.

    Parameters
    ----------
    checked
        The check.

    Returns
    -------
    tuple of Table
        Behind the tables of the shape.
    """
    staked = checked.staked
    if staked is None:
        return ()
    site = "against the planned place"
    return (
        _offs(f"The stakes {site} on the lot", staked.stakes, checked.options),
        _offs(f"Other points {site}", staked.others, checked.options),
    )


def place_lines(staked: Staked, words: Words) -> tuple[str, ...]:
    """Say in sentences how the building as a whole stands.

    Parameters
    ----------
    staked
        What the stakes say.
    words
        The job's words.

    Returns
    -------
    tuple of str
        Empty where the job is not placed.
    """
    shift = staked.displacement
    if shift is None or staked.north is None or staked.east is None:
        return ()
    first = (
        "Every stake is within what is allowed of its planned place."
        if staked.in_place
        else "Not in its place: "
        + ", ".join(safe(each.name) for each in staked.out)
        + " by more than a stake may be."
    )
    far = words.length(math.hypot(shift.x, shift.y))
    turn = words.angle(abs(shift.turn))
    turned = "not turned"
    if turn != words.angle(0.0):
        turned = f"turned {turn} {'anticlockwise' if shift.turn >= 0 else 'clockwise'}"
    if far == words.length(0.0):
        return (first, f"As a whole it stands in its planned place, {turned}.")
    return (
        first,
        f"As a whole it stands {far} off its planned place{_ways(staked, words)}, {turned}.",
    )


def _ways(staked: Staked, words: Words) -> str:
    north, east = staked.north or 0.0, staked.east or 0.0
    ways = ((north, "north" if north >= 0 else "south"), (east, "east" if east >= 0 else "west"))
    seen = [
        f"{words.length(abs(size))} {way}"
        for size, way in ways
        if words.length(abs(size)) != words.length(0.0)
    ]
    return f" ({', '.join(seen)})" if seen else ""


def nail_text(slide: NailSlide, options: Options) -> str:
    """Say how far one surveyed nail slides: ``7/16" toward the building``."""
    if not slide.rounded:
        return "leave it"
    size = Words(options).length(abs(slide.rounded))
    if slide.nail.wall_string:
        return f"{size} {'away from' if slide.rounded > 0 else 'toward'} the building"
    return f"{size} to the {'right' if slide.rounded > 0 else 'left'}"


def _nails(staked: Staked, checked: Checked, words: Words) -> Block:
    # where it is not square every nail goes to its line: good ones alone may not make it square
    options = checked.options
    square = checked.verdict.square
    to_slide = [each for each in staked.nails if not each.good or (each.rounded and not square)]
    rows = tuple(
        (
            each.nail.board,
            each.nail.string,
            f"{each.nail.mark} {each.nail.wall}",
            words.allowed(each.allowed),
            nail_text(each, options),
        )
        for each in to_slide
    )
    right = len(staked.nails) - len(rows)
    notes = [f"Other nails, which stay: {right}."] if right else []
    if any(not each.nail.wall_string for each in to_slide):
        notes.append("Right and left are as seen from the line's first end.")
    if staked.nails and not rows:
        line = f"Every nail surveyed is within what is allowed ({right})."
        return Listing(title="The nails as surveyed", lines=(line,))
    return Table(
        title="The nails as surveyed",
        columns=(
            Column(heading="board"),
            Column(heading="string"),
            Column(heading="nail"),
            Column(heading="allowed", right=True),
            Column(heading="slide it"),
        ),
        rows=rows,
        note=" ".join(notes),
    )


def _offs(title: str, offs: tuple[Off, ...], options: Options) -> Table:
    on_site = any(each.north is not None for each in offs)
    headings = ("north", "east") if on_site else ("x", "y")
    rows = []
    for each in offs:
        first, second = (each.north, each.east) if on_site else (each.x, each.y)
        rows.append((
            safe(each.name),
            safe(each.what),
            signed(first or 0.0, options),
            signed(second or 0.0, options),
            fine(each.distance, options),
            Words(options).allowed(each.allowed),
            "good" if each.good else "out",
        ))
    return Table(
        title=title,
        columns=(
            Column(heading="point"),
            Column(heading="what"),
            *(Column(heading=f"off in {way}" if way in "xy" else f"off {way}", right=True)
              for way in headings),
            Column(heading="in all", right=True),
            Column(heading="allowed", right=True),
            Column(heading=""),
        ),
        rows=tuple(rows),
    )  # fmt: skip
