"""`staking init`: a job file to start from, as it is or after a few questions."""

from __future__ import annotations

import math
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path
from typing import TypeVar

import click

from staking.errors import InputError, MeasureError, Problem
from staking.job.starter import (
    Beginning,
    Point,
    check_free,
    corner_name,
    crosses,
    default_beginning,
    exact_length,
    shown_in,
    sketch,
    starter_text,
    write_starter,
)
from staking.measure.lengths import Unit, format_length, parse_bearing, parse_length
from staking.measure.plain_text import plain, quoted
from staking.tolerances import AREA, SAME_POINT

_Answer = TypeVar("_Answer")

_SIDE_EXAMPLE = "write a direction and a length, as in east 36' or N 14 30 E 12' 6\""


@click.command("init", short_help="Write a job file to start from.")
@click.argument("path", type=click.Path(path_type=Path), default=Path("job.yaml"))
@click.option("--ask", is_flag=True, help="Ask for shape, lengths, wall and footing first.")
def command(path: Path, ask: bool) -> None:
    """Write a commented job file to PATH (job.yaml) that runs as it is.

    Nothing that is there already is overwritten.
    """
    check_free(path)
    write_starter(path, starter_text(_interview() if ask else None))
    act = "Look it over" if ask else "Put your figures in"
    click.echo(f"{path} is written. {act}, then run: staking layout {path}")


def _interview() -> Beginning:
    """Ask for the building, checking each answer at once."""
    unit = Unit(_choose("Unit of a number that stands alone", [unit.value for unit in Unit], "ft"))
    shape = _choose("Shape", ["rectangle", "L", "sides"], "rectangle")
    outline, corners = {"rectangle": _rectangle, "L": _l_shape, "sides": _sides}[shape](unit)
    usual = default_beginning(unit)
    wall, thick = _ask_length("Wall thickness", unit, usual.wall)
    wide = max(thick, parse_length(usual.footing_width))
    width, _ = _ask_length(
        "Footing width",
        unit,
        usual.footing_width if thick < wide else wall,
        least=(thick, "the wall"),
    )
    thickness, _ = _ask_length("Footing thickness", unit, usual.footing_thickness)
    click.echo(f"\n{sketch(corners)}\n")
    return Beginning(
        unit=unit,
        outline=outline,
        wall=wall,
        footing_width=width,
        footing_thickness=thickness,
    )


def _ask(prompt: str, read: Callable[[str], _Answer], default: str | None = None) -> _Answer:
    """Ask until the answer can be read; the fault is said before asking again."""
    while True:
        try:
            answer: str = click.prompt(prompt, default=default, type=str, err=True)
        except click.Abort as error:
            click.echo(err=True)
            raise InputError(Problem(message="the answers end here; nothing is written")) from error
        try:
            return read(answer)
        except MeasureError as error:
            click.echo(f"  {error}", err=True)


def _choose(prompt: str, choices: list[str], default: str) -> str:
    def read(answer: str) -> str:
        for choice in choices:
            if answer.strip().lower() == choice.lower():
                return choice
        listed = f"{', '.join(choices[:-1])} or {choices[-1]}"
        raise MeasureError(f"{quoted(answer)} is none of these", f"write {listed}")

    return _ask(f"{prompt} ({', '.join(choices)})", read, default)


def _ask_length(
    prompt: str,
    unit: Unit,
    default: str | None = None,
    *,
    least: tuple[float, str] | None = None,
    below: tuple[float, str] | None = None,
) -> tuple[str, float]:
    """Ask for a length above zero; return it as typed, made plain, and in m."""

    def read(answer: str) -> tuple[str, float]:
        metres = parse_length(answer, unit)
        text = plain(answer)
        if metres <= 0.0:
            raise MeasureError(f"{text} is not above zero", "write how long it is")
        if least and metres < least[0] - SAME_POINT:
            raise MeasureError(f"{text} is less than {least[1]}", _at("least", least[0], unit))
        if below and metres > below[0] - SAME_POINT:
            raise MeasureError(f"{text} leaves nothing of {below[1]}", _at("below", below[0], unit))
        return text, metres

    return _ask(prompt, read, default)


def _at(what: str, metres: float, unit: Unit) -> str:
    words = {"least": "write {} or more", "below": "write less than {}"}[what]
    return words.format(exact_length(metres, unit))


def _rectangle(unit: Unit) -> tuple[str, list[Point]]:
    long_text, long = _ask_length("Length, A to B", unit)
    wide_text, wide = _ask_length("Width, B to C", unit)
    corners = [(0.0, 0.0), (long, 0.0), (long, wide), (0.0, wide)]
    return f"rectangle: {long_text} x {wide_text}", corners


def _l_shape(unit: Unit) -> tuple[str, list[Point]]:
    """Ask for the rectangle round an L and for what is cut out of its far right corner."""
    long_text, long = _ask_length("Overall length, A to B", unit)
    wide_text, wide = _ask_length("Overall width, A to F", unit)
    cut_text, cut = _ask_length(
        "Cut out of the far right corner: along the length", unit, below=(long, "the length")
    )
    deep_text, deep = _ask_length(
        "Cut out of the far right corner: along the width", unit, below=(wide, "the width")
    )
    rest, side = exact_length(long - cut, unit), exact_length(wide - deep, unit)
    outline = (
        f"sides: [east {long_text}, north {side}, west {cut_text}, north {deep_text}, "
        f"west {rest}, south {wide_text}]"
    )
    inner = (long - cut, wide - deep)
    return outline, [
        (0.0, 0.0), (long, 0.0), (long, inner[1]), inner, (inner[0], wide), (0.0, wide),
    ]  # fmt: skip


def _sides(unit: Unit) -> tuple[str, list[Point]]:
    """Ask for one side after another until the outline is back at its first corner."""
    texts: list[str] = []
    corners: list[Point] = [(0.0, 0.0)]
    click.echo(
        "Walk round the building and give each side, as in east 36'. The side that comes\n"
        "back to A is the last; `back` takes the last one away.",
        err=True,
    )
    while True:
        name = f"{corner_name(len(texts))} to {corner_name(len(texts) + 1)}"

        def read(answer: str) -> tuple[str, Point] | None:
            if answer.strip().lower() == "back":
                return None
            text, azimuth, length = _read_side(answer, unit)
            x, y = corners[-1]
            end = (x + length * math.sin(azimuth), y + length * math.cos(azimuth))
            _refuse_crossing(text, [*corners, end])
            return text, end

        found = _ask(f"Side {name}", read)
        if found is None:
            if texts:
                texts.pop()
                corners.pop()
            continue
        texts.append(found[0])
        corners.append(found[1])
        x, y = found[1]
        if math.hypot(x, y) <= SAME_POINT:
            return f"sides: [{', '.join(texts)}]", corners[:-1]
        click.echo(f"  now {_whereabouts(x, y, unit)} of A", err=True)


def _whereabouts(x: float, y: float, unit: Unit) -> str:
    show = shown_in(unit)
    return (
        f"{format_length(abs(x), show)} {'east' if x >= 0 else 'west'} and "
        f"{format_length(abs(y), show)} {'north' if y >= 0 else 'south'}"
    )


def _read_side(answer: str, unit: Unit) -> tuple[str, float, float]:
    """Split a side into its direction, rad from north, and its length, m."""
    words = plain(answer).split()
    found = []
    fault: MeasureError | None = None
    for cut in range(1, len(words)):
        try:
            azimuth = parse_bearing(" ".join(words[:cut]))
        except MeasureError:
            continue
        try:
            length = parse_length(" ".join(words[cut:]), unit)
            found.append((_one_word(words[:cut]), " ".join(words[cut:]), azimuth, length))
        except MeasureError as error:
            fault = fault or error
    if len(found) != 1:
        if fault and not found:
            raise fault
        raise MeasureError(f"{quoted(answer)} is not a side", _SIDE_EXAMPLE)
    direction, text, azimuth, length = found[0]
    if length <= 0.0:
        raise MeasureError(f"{quoted(answer)} has no length", _SIDE_EXAMPLE)
    return f"{direction} {text}", azimuth, length


def _one_word(words: list[str]) -> str:
    """Return a direction so that it stays apart from the length behind it."""
    if words[0] == "due":
        words = words[1:]
    text = "-".join(words)
    return text if text.isalpha() or not text[0].isalpha() else text.upper()


def _refuse_crossing(text: str, corners: list[Point]) -> None:
    """Refuse a last side that runs back over, or meets, an earlier one."""
    shown = quoted(text)
    lines = list(pairwise(corners))
    new = lines[-1]
    closes = math.hypot(*corners[-1]) <= SAME_POINT
    neighbours = [lines[-2]] if len(lines) > 1 else []
    if closes and len(lines) > 2:
        neighbours.append(lines[0])
    for line in neighbours:
        if _folds(line, new):
            raise MeasureError(f"{shown} runs back over another side", "turn it another way")
    for index, line in enumerate(lines[:-2]):
        if not (closes and index == 0) and crosses(line, new):
            met = f"{corner_name(index)}-{corner_name(index + 1)}"
            raise MeasureError(f"{shown} meets side {met}", "end it before that, or type back")
    area = sum(a[0] * b[1] - b[0] * a[1] for a, b in lines)
    if closes and abs(area) / 2 < AREA:
        raise MeasureError(f"{shown} closes an outline that has no area", "turn it another way")


def _folds(first: tuple[Point, Point], second: tuple[Point, Point]) -> bool:
    """Tell whether two lines that share an end run opposite ways along one line."""
    a, b = ((end[0] - start[0], end[1] - start[1]) for start, end in (first, second))
    across = a[0] * b[1] - a[1] * b[0]
    along = a[0] * b[0] + a[1] * b[1]
    return along < 0 and abs(across) < 1e-9 * math.hypot(*a) * math.hypot(*b)
