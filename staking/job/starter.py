"""The job file to start from: its text, its outline in characters, and writing it once."""

from __future__ import annotations

import math
import os
import tempfile
from pathlib import Path

from staking.errors import WriteError
from staking.frozen import frozen
from staking.measure.lengths import Unit, format_length, parse_length

Point = tuple[float, float]


@frozen
class Beginning:
    """What a starter says of the building, each as it is to stand in the file.

    Parameters
    ----------
    unit
        What bare numbers are in.
    outline
        One line of the `building` section: ``rectangle: 36' x 24'`` or ``sides: [...]``.
    wall, footing_width, footing_thickness
        Lengths as typed.
    footing_outside
        How far the footing projects past the outside face, as typed; None for a footing centred
        under its wall.
    """

    unit: Unit
    outline: str
    wall: str
    footing_width: str
    footing_thickness: str
    footing_outside: str | None = None


def default_beginning(unit: Unit = Unit.FT) -> Beginning:
    """Return the building that a starter has when nothing is asked.

    Returns
    -------
    Beginning
        A rectangle with the usual wall and footing, in `unit`; the sizes are common practice,
        no source.
    """
    if unit in {Unit.M, Unit.MM}:
        return Beginning(
            unit=unit,
            outline="rectangle: 11 m x 7.5 m",
            wall="200 mm",
            footing_width="500 mm",
            footing_thickness="250 mm",
        )
    return Beginning(
        unit=unit,
        outline="rectangle: 36' x 24'",
        wall='8"',
        footing_width='20"',
        footing_thickness='10"',
    )


_SHOW = {Unit.M: "metres", Unit.MM: "millimetres"}


def shown_in(unit: Unit) -> str:
    """Return how a job in a unit shows its lengths: a value of `plan.Show`.

    Returns
    -------
    str
        ``metres``, ``millimetres`` or ``feet-inches``.
    """
    return _SHOW.get(unit, "feet-inches")


_TEMPLATE = """\
# A job for `staking layout`. It runs as it is: put your own figures in, line by line.
# Lengths: 36'  36' 6 1/2"  6 1/2"  36.5  11.2 m  200 mm. A bare number is in `units`.

job: My building                 # printed on the drawing and the tables
units: {unit}
show: {show}

building:
  # Corners stand at the outside face of the foundation wall. Give the outline one way:
  #   rectangle: 36' x 24'       corners A, B, C, D anticlockwise from 0, 0
  #   sides: [east 36', north 24', west 36', south 24']       corners A, B, C ... in order
  #   corners: {{A: [0, 0], B: [36', 0], C: [36', 24'], D: [0, 24']}}      x and y of each
  {outline}
  wall: {wall}
  footing: {{width: {footing_width}, thickness: {footing_thickness}{outside}}}    # {centred}

  # A wall that differs; A-B is the wall between corners A and B:
  # walls:
  #   A-B: {{wall: {wall}, footing: {{width: {footing_width}, outside: {wall}}}}}
  # A post's footing, by its centre from corner A (0, 0):
  # pads:
  #   - {{name: P1, at: [{post}], size: [{size}, {size}], thickness: {footing_thickness}}}

# Batter boards: at least `stand_off` past the corner, at least `clearance` from the trench.
boards: {{stand_off: {four}, clearance: {four}}}

# What is dug beyond the footing: working room each side, the machine's bucket, the depth.
# dig: {{overdig: {overdig}, bucket: {size}, depth: {four}}}

# On a slope a grade: section with ground, top_of_wall and frost_depth tells how deep to dig and
# where the footing steps; `staking grade` reads it.

# A lot: its setbacks, buried lines and the building's place stand under site:, with a survey's
# points (survey: lot.csv), or without one from the deed:
# site: {{boundary: {{deed: [{lot}]}}}}

# The tape, and how far a reading with it may be off.
tape: {{length: {tape}, error: {error}}}
"""


_LOT_IN_FEET = ("N 88 E 120'", "S 2 E 150'", "S 88 W 120'", "N 2 W 150'")
_LOT_IN_METRES = ("N 88 E 36 m", "S 2 E 45 m", "S 88 W 36 m", "N 2 W 45 m")
"""The courses of a lot, as a deed calls them."""


def starter_text(beginning: Beginning | None = None) -> str:
    """Return a commented job file that runs as it is.

    Parameters
    ----------
    beginning
        What it says of the building; None for the default rectangle.

    Returns
    -------
    str
        YAML, ending with a line end.
    """
    start = beginning or default_beginning()
    metric = start.unit in _SHOW
    outside = start.footing_outside
    return _TEMPLATE.format(
        unit=start.unit.value,
        show=shown_in(start.unit),
        outline=start.outline,
        wall=start.wall,
        footing_width=start.footing_width,
        footing_thickness=start.footing_thickness,
        outside="" if outside is None else f", outside: {outside}",
        centred=(
            "centred under its wall"
            if outside is None
            else "outside: how far it projects past the wall's outside face"
        ),
        post="-2 m, 2 m" if metric else "-6', 6'",
        size="600 mm" if metric else '24"',
        overdig="150 mm" if metric else '6"',
        four="1.2 m" if metric else "4'",
        lot=", ".join(_LOT_IN_METRES if metric else _LOT_IN_FEET),
        tape="30 m" if metric else "100'",
        error="3 mm" if metric else '1/8"',
    )


def exact_length(metres: float, unit: Unit) -> str:
    r"""Write a length so that reading it gives the length again, within a micrometre.

    Returns
    -------
    str
        Feet and inches where sixteenths say it, else a decimal number in `unit`.

    Examples
    --------
    >>> exact_length(7.3152, Unit.FT)
    '24\' 0"'
    """
    if unit not in _SHOW:
        shown = format_length(metres)
        if abs(parse_length(shown, unit) - metres) < 1e-6:
            return shown
    return f"{metres / unit.metres:.6f}".rstrip("0").rstrip(".")


def corner_name(index: int) -> str:
    """Return the name a corner gets by itself: A ... Z, AA, AB ...

    Returns
    -------
    str
        The name of corner `index`, counted from 0.
    """
    name = ""
    index += 1
    while index:
        index, letter = divmod(index - 1, 26)
        name = chr(ord("A") + letter) + name
    return name


def sketch(corners: list[Point], *, columns: int = 56, rows: int = 18) -> str:
    """Draw an outline in characters, corner names at its corners.

    Parameters
    ----------
    corners
        x and y of each corner, m, in order round the outline.
    columns, rows
        The most it may take.

    Returns
    -------
    str
        Lines without a last line end. A character is taken to be twice as high as wide.
    """
    left, low = min(x for x, _ in corners), min(y for _, y in corners)
    across = max(x for x, _ in corners) - left
    up = max(y for _, y in corners) - low
    scale = min((columns - 1) / max(across, 1e-9), 2 * (rows - 1) / max(up, 1e-9))
    top = round(up * scale / 2)
    cells = [(round((x - left) * scale), top - round((y - low) * scale / 2)) for x, y in corners]
    paper = [[" "] * (columns + 8) for _ in range(top + 1)]
    for start, end in zip(cells, cells[1:] + cells[:1], strict=True):
        _draw(paper, start, end)
    for index, (column, row) in enumerate(cells):
        for offset, letter in enumerate(corner_name(index)):
            paper[row][column + offset] = letter
    return "\n".join("".join(line).rstrip() for line in paper)


def _draw(paper: list[list[str]], start: tuple[int, int], end: tuple[int, int]) -> None:
    """Draw one straight line of characters."""
    across, down = end[0] - start[0], end[1] - start[1]
    steps = max(abs(across), abs(down), 1)
    mark = "-" if down == 0 else "|" if across == 0 else "\\" if across * down > 0 else "/"
    for step in range(steps + 1):
        column = start[0] + round(across * step / steps)
        row = start[1] + round(down * step / steps)
        paper[row][column] = mark


def crosses(first: tuple[Point, Point], second: tuple[Point, Point]) -> bool:
    """Tell whether two straight lines between points meet anywhere, m.

    Returns
    -------
    bool
        True also where they only touch or lie on each other.
    """
    (a, b), (c, d) = first, second
    sides = (_turn(a, b, c), _turn(a, b, d), _turn(c, d, a), _turn(c, d, b))
    if sides[0] != sides[1] and sides[2] != sides[3]:
        return True
    ends = ((a, b, c), (a, b, d), (c, d, a), (c, d, b))
    return any(side == 0 and _between(*points) for side, points in zip(sides, ends, strict=True))


def _turn(start: Point, end: Point, point: Point) -> int:
    """Return 1 for a point left of the line, -1 for right, 0 within a micrometre of it."""
    x, y = end[0] - start[0], end[1] - start[1]
    off = (x * (point[1] - start[1]) - y * (point[0] - start[0])) / math.hypot(x, y)
    return 0 if abs(off) < 1e-6 else 1 if off > 0 else -1


def _between(start: Point, end: Point, point: Point) -> bool:
    """Tell whether a point on a line lies within the line's own span."""
    return all(
        min(a, b) - 1e-6 <= p <= max(a, b) + 1e-6 for a, b, p in zip(start, end, point, strict=True)
    )


def check_free(path: Path) -> None:
    """Refuse a path where a starter cannot be written.

    Parameters
    ----------
    path
        Where the file is to go.

    Raises
    ------
    WriteError
        When something is there already, or the folder is not.
    """
    if path.is_dir():
        raise WriteError(f"{path} is a folder; name a file in it, such as {path / 'job.yaml'}")
    if os.path.lexists(path):
        raise WriteError(
            f"{path} is there already and was left as it is; "
            f"name another file, such as {path.with_name(path.stem + '-2.yaml')}"
        )
    if not path.parent.is_dir():
        raise WriteError(
            f"{path} cannot be written: there is no folder {path.parent}; make it first"
        )


def write_starter(path: Path, text: str) -> None:
    """Write a new file whole or not at all, and never over another.

    Parameters
    ----------
    path
        Where it goes.
    text
        What it holds.

    Raises
    ------
    WriteError
        When something is there already, the folder is not, or the disk refuses.
    """
    check_free(path)
    try:
        handle, name = tempfile.mkstemp(prefix=f".{path.name}-", dir=path.parent)
        temporary = Path(name)
        try:
            with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as stream:
                stream.write(text)
            temporary.chmod(0o644)
            _move_new(temporary, path)
        finally:
            temporary.unlink(missing_ok=True)
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise WriteError(f"{path} cannot be written: {reason}") from error


def _move_new(temporary: Path, path: Path) -> None:
    """Give a finished file its name, failing where the name is taken."""
    try:
        # Unlike a rename, a link never replaces a file that appeared in the meantime.
        path.hardlink_to(temporary)
    except OSError:
        # Some disks know no links: claim the name, which fails where it is taken, then replace.
        path.open("x").close()
        temporary.replace(path)
