"""A window on another grid."""

from __future__ import annotations

import numpy as np

from staking import crs as reference
from staking.ground_scan import Window


def window_on_grid(window: Window, source: str, target: str) -> Window:
    """Give the box on another grid that holds a window.

    Parameters
    ----------
    window
        Northing and easting on `source`, m.
    source, target
        The grids' codes.

    Returns
    -------
    Window
        Round the four corners on `target`: a lot is so small that its sides stay straight.

    Notes
    -----
    `staking.errors.InputError` comes where the window lies outside what a projection reaches.
    """
    north = np.array([window.south, window.south, window.north, window.north])
    east = np.array([window.west, window.east, window.east, window.west])
    north, east = reference.to_crs(north, east, source, target)
    return Window(
        south=float(north.min()),
        north=float(north.max()),
        west=float(east.min()),
        east=float(east.max()),
    )
