"""`staking diagonal`: squaring a rectangle, answered without a job file."""

from __future__ import annotations

import re

import click

from staking.errors import MeasureError
from staking.layout.squaring import RightTriangle, diagonal, fitting_triangles, slide
from staking.measure.lengths import FOOT, INCH, Unit, format_length, parse_length

MOST_TRIANGLES = 6
"""Triangles listed: the largest are the ones worth taping."""

_MILLIMETRES = r"(?:mm|millimet(?:er|re)s?)\s*$"
_METRES = r"(?:[0-9.\s]|c)m\s*$|met(?:er|re)s?\s*$"


@click.command("diagonal", short_help="Diagonal, 3-4-5 and racking of a rectangle.")
@click.argument("lengths", metavar="LENGTH WIDTH", nargs=-1)
@click.option(
    "--unit",
    type=click.Choice([unit.value for unit in Unit]),
    help="What a bare number is in.",
)
def command(lengths: tuple[str, ...], unit: str | None) -> None:
    """Print what squares a rectangle of LENGTH by WIDTH.

    The diagonal, the 3-4-5 triangles that fit in a corner, and how far the diagonals differ for
    each 1/4" (5 mm) a side stands out of square.

    Lengths need no quote marks: 24ft, 24-6-1/2 (feet-inches-fraction), 11.2m.
    """
    bare = Unit(unit) if unit else None
    sides = _sides(lengths, bare)
    show = _shown(lengths, bare)
    click.echo("\n".join(_answer(*sides, show)))


def _sides(lengths: tuple[str, ...], unit: Unit | None) -> tuple[float, float]:
    # One word may be two lengths the shell has joined: reading it says so.
    metres = [parse_length(text, unit) for text in lengths] if len(lengths) <= 2 else []
    if len(metres) != 2:
        raise click.UsageError("give two lengths, each in one word, as in 24ft 32ft")
    for text, value in zip(lengths, metres, strict=True):
        if value <= 0.0:
            raise MeasureError(f"{text} is not a side of a rectangle", "write a length above zero")
    return metres[0], metres[1]


def _shown(lengths: tuple[str, ...], unit: Unit | None) -> str:
    """Return metric only where both lengths are; millimetres where one of them is."""
    kinds = set()
    for text in lengths:
        bare = unit if text.replace(".", "", 1).strip().isdigit() else None
        if bare is Unit.MM or re.search(_MILLIMETRES, text.lower()):
            kinds.add("millimetres")
        elif bare is Unit.M or re.search(_METRES, text.lower()):
            kinds.add("metres")
        else:
            return "feet-inches"
    return "millimetres" if "millimetres" in kinds else "metres"


def _answer(first: float, second: float, show: str) -> list[str]:
    """Return the lines to print."""

    def text(metres: float) -> str:
        return format_length(metres, show)

    feet = show == "feet-inches"
    across = diagonal(first, second)
    lines = [f"{text(first)} by {text(second)}", "", f"Diagonal  {text(across)}", ""]
    lines += _triangle_lines(first, second, feet=feet, show=show)
    by = INCH / 4 if feet else 0.005
    small = show if feet else "millimetres"
    lines += ["", f"For each {format_length(by, small)} out of square the diagonals differ by"]
    for side, depth in ((first, second), (second, first))[: 1 if first == second else 2]:
        out = slide(side, depth, by)
        shown = format_length(out.difference, small, INCH / 32)
        lines.append(f"  {shown}  when a side of {text(side)} has slid along its own line")
    lines += [
        "",
        "Diagonals not alike: slide one side along its own line, away from where the",
        f"longer diagonal meets it, until both read {text(across)}.",
    ]
    return lines


def _triangle_lines(first: float, second: float, *, feet: bool, show: str) -> list[str]:
    """Return the table of 3-4-5 triangles, in whole feet or half metres where they fit."""
    short, long = sorted((first, second))
    steps = (FOOT, INCH) if feet else (0.5, 0.01)
    triangles: tuple[RightTriangle, ...] = ()
    for step in steps:
        triangles = triangles or fitting_triangles(short, long, step)
    if not triangles:
        return ["No 3-4-5 triangle fits: square it by its diagonals."]
    rows = [
        [format_length(side, show) for side in (triangle.short, triangle.long, triangle.across)]
        for triangle in triangles[:MOST_TRIANGLES]
    ]
    head = "3-4-5 triangles that fit, the largest first"
    places = [f"along {format_length(short, show)}", f"along {format_length(long, show)}", "across"]
    widths = [max(map(len, column)) for column in zip(places, *rows, strict=True)]
    lines = [head] + [
        "  " + "  ".join(cell.rjust(width) for cell, width in zip(row, widths, strict=True))
        for row in [places, *rows]
    ]
    rest = len(triangles) - len(rows)
    if rest:
        lines.append(f"  and {rest} smaller: 3, 4 and 5 times a whole number down to 1")
    return lines
