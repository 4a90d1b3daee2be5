"""What the desk's page is told of a designer's drawing: its layers, and the outline traced."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.desk.told_blocks import Told, block_told
from staking.units import Unit

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from staking.outline.drawn_layers import ShownDrawing
    from staking.outline.found_outline import FoundOutline


def outline_answer(
    drawing: Path, layers: Sequence[str], close: str, units: tuple[Unit | None, Unit]
) -> Told:
    """List a drawing's layers, or trace the outline on some of them.

    Parameters
    ----------
    drawing
        The DXF file.
    layers
        The layers to trace; without any all are listed.
    close
        How far loose ends may be run on to meet, as typed.
    units
        The drawing's unit where it is named, and the job's, in which corners are written.

    Returns
    -------
    dict
        ``layers``, ``blocks`` (tables and lists as `staking outline` prints them), ``corners``
        as a job file writes them, ``drawn`` (where they lie in the drawing, y downward), and
        ``wall`` and ``footing`` where they were read off; without layers ``picture`` too: the
        drawing's own lines as paths by layer, from the ``window``'s corner, and the window.

    Notes
    -----
    `staking.errors.InputError` and `staking.errors.ComputationError` come from the reader and the
    tracing, with what is in the way.
    """
    from staking.job.starter import exact_length, shown_in
    from staking.measure.lengths import parse_length
    from staking.output.tables.notice_listings import notice_blocks
    from staking.output.tables.outline_tables import outline_blocks
    from staking.output.wording import Words
    from staking.plan import Options, Show
    from staking.project.outline import look_at_drawing, outline_of

    given, unit = units
    reach = parse_length(close) if close.strip() not in {"", "0"} else 0.0
    found: FoundOutline
    picture: Told = {}
    if layers:
        found = outline_of(drawing, layers, close=reach, unit=given)
    else:
        found, shown = look_at_drawing(drawing, given)
        picture = {"picture": _picture(shown)}
    words = Words(Options(show=Show(shown_in(found.unit.unit or unit))))
    footing = found.footing
    return {
        "layers": [each.name for each in found.layers],
        "blocks": [
            block_told(each)
            for each in (*notice_blocks(found.notices, words), *outline_blocks(found, words))
        ],
        "corners": [
            {"name": each.name, "x": exact_length(each.x, unit), "y": exact_length(each.y, unit)}
            for each in found.corners
        ],
        "drawn": [[x, -y] for x, y in found.drawn],
        **picture,
        "wall": None if found.wall is None else exact_length(found.wall, unit),
        "footing": None
        if footing is None
        else {
            "width": exact_length(footing.width, unit),
            "outside": exact_length(footing.outside, unit),
        },
    }


def _picture(shown: ShownDrawing) -> Told:
    """Write the drawing's lines as paths, y downward as pictures on a screen have it."""
    (left, bottom), (right, top) = shown.low, shown.high
    return {
        "window": [left, -top, right - left, top - bottom],
        "layers": [
            {
                "name": layer.name,
                "path": " ".join(_path((each - (left, top)).tolist()) for each in layer.chains),
            }
            for layer in shown.layers
        ],
    }


def _path(points: list[list[float]]) -> str:
    return "M" + "L".join(f"{x:.8g} {-y:.8g}" for x, y in points)
