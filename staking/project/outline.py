"""The conductor of `staking outline`: a drawing read, its layers listed or its outline traced."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from staking.outline.drawn_layers import ShownDrawing
    from staking.outline.found_outline import FoundOutline
    from staking.units import Unit


def outline_of(
    path: Path,
    layers: Sequence[str] = (),
    footing_layers: Sequence[str] = (),
    *,
    close: float = 0.0,
    unit: Unit | None = None,
) -> FoundOutline:
    """List a drawing's layers, or trace the outline on some of them.

    Parameters
    ----------
    path
        The DXF file.
    layers, footing_layers
        The layers traced, and those of the footings; without any the layers are listed.
    close
        How far ends may be run on to meet, m.
    unit
        The drawing's unit as the user names it.

    Returns
    -------
    FoundOutline
        With what was damaged in the drawing among its notices.

    Notes
    -----
    `staking.errors.InputError` comes from the reader, for a layer that is not there, and where
    the unit is not decided; `staking.errors.ComputationError` where there is no one outline.
    """
    from staking.outline.found_outline import find_outline, list_layers
    from staking.survey.dxf.plan_curves import read_plan_drawing

    drawing, said = read_plan_drawing(path)
    if layers:
        found = find_outline(drawing, layers, footing_layers, close=close, given=unit)
    else:
        found = list_layers(drawing, unit)
    return replace(found, notices=(*said, *found.notices))


def look_at_drawing(path: Path, unit: Unit | None = None) -> tuple[FoundOutline, ShownDrawing]:
    """List a drawing's layers, and give them as they are shown.

    Parameters
    ----------
    path
        The DXF file.
    unit
        The drawing's unit as the user names it.

    Returns
    -------
    tuple
        What `outline_of` gives without layers, and the layers' lines.
    """
    from staking.outline.drawn_layers import shown_drawing
    from staking.outline.found_outline import list_layers
    from staking.survey.dxf.plan_curves import read_plan_drawing

    drawing, said = read_plan_drawing(path)
    found = list_layers(drawing, unit)
    return replace(found, notices=(*said, *found.notices)), shown_drawing(drawing)
