"""The points of a scan round the building: as far round it as memory allows."""

from __future__ import annotations

import numpy as np

from staking.errors import InputError, Problem
from staking.ground_scan import Window
from staking.points import Array

MOST_KEPT = 1_000_000
"""No more points than this are held: 60 a square foot on a house and its surroundings."""


class KeptWindow:
    """Holds the points in a window with a margin, which shrinks where they become too many.

    Parameters
    ----------
    path
        The file as the user named it.
    window
        Northing and easting in the file's unit.
    margins
        How far round it points are kept, and the least of it, in the file's unit.
    """

    def __init__(self, path: str, window: Window, margins: tuple[float, float]) -> None:
        self.path = path
        self.inner = window
        self.margin, self.least = margins
        self.window = window.grown(self.margin)
        self._parts: list[Array] = []
        self._count = 0

    def add(self, places: Array) -> None:
        """Take those points that lie in the window.

        Parameters
        ----------
        places
            x, y and z, ``(n, 3)``, in the file's unit.

        Raises
        ------
        InputError
            Where there are too many in the smallest window.
        """
        self._parts.append(self._inside(places))
        self._count += len(self._parts[-1])
        while self._count > MOST_KEPT:
            if self.margin <= self.least:
                raise InputError(
                    Problem(
                        path=self.path,
                        message=f"over {MOST_KEPT:,} ground points lie at the building, more than "
                        "a footing has use for",
                        remedy="thin the file out, to a point every foot or so",
                    )
                )
            self.margin = max(self.margin / 2, self.least)
            self.window = self.inner.grown(self.margin)
            self._parts = [self._inside(each) for each in self._parts]
            self._count = sum(map(len, self._parts))

    def places(self) -> Array:
        """Give what was kept: x, y and z, ``(n, 3)``, in the file's unit."""
        return np.concatenate(self._parts) if self._parts else np.empty((0, 3))

    def _inside(self, places: Array) -> Array:
        east, north = places[:, 0], places[:, 1]
        window = self.window
        inside = (
            (east >= window.west)
            & (east <= window.east)
            & (north >= window.south)
            & (north <= window.north)
        )
        return places if inside.all() else places[inside]
