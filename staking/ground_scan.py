"""Ground that was scanned and not surveyed point by point: a laser point cloud or a height grid.

Such a file covers a district. Only a window of it is ever held, and its points have no names.
"""

from __future__ import annotations

import math

from staking.frozen import frozen
from staking.kinds import ScanKind


@frozen
class Window:
    """A box in northing and easting, m.

    Raises
    ------
    ValueError
        When a number is not finite or a side is turned about.
    """

    south: float
    north: float
    west: float
    east: float

    def __post_init__(self) -> None:
        if not all(map(math.isfinite, (self.south, self.north, self.west, self.east))):
            raise ValueError("a window needs finite numbers")
        if self.south > self.north or self.west > self.east:
            raise ValueError("a window runs from south to north and from west to east")

    def grown(self, margin: float) -> Window:
        """Give the window with a margin all round, m.

        Returns
        -------
        Window
            The larger one.

        Examples
        --------
        >>> Window(south=0.0, north=10.0, west=5.0, east=8.0).grown(2.0)
        Window(south=-2.0, north=12.0, west=3.0, east=10.0)
        """
        return Window(
            south=self.south - margin,
            north=self.north + margin,
            west=self.west - margin,
            east=self.east + margin,
        )


@frozen
class ClassCount:
    """How many points of a cloud are of one class: code and name are the LAS specification's."""

    code: int
    name: str
    count: int


@frozen
class GroundScan:
    """What a cloud or a height grid holds as a whole.

    Parameters
    ----------
    kind
        Which of the two.
    count
        All its points, or the cells with a height.
    ground
        Those of them that are ground; where the ground round the building was kept, what was kept.
    classes
        The points of a cloud by class, in the order of the codes; empty for a grid, and where the
        ground round the building alone was looked for.
    withheld
        Points that the file marks as not to be used; they are in no other count but `count`. Where
        the ground round the building was kept, those among it.
    extent
        Least and greatest northing, easting and elevation of all points, m; None without any.
    heights_unit
        The file's own unit of heights, by its name in the job file.
    cell
        Side of a grid's cells, m; None for a cloud.
    margin
        How far round the building or the boundary points were kept, m; None where only the
        figures above were wanted and none were kept.
    """

    kind: ScanKind
    count: int
    ground: int
    classes: tuple[ClassCount, ...] = ()
    withheld: int = 0
    extent: tuple[tuple[float, float], ...] | None = None
    heights_unit: str
    cell: float | None = None
    margin: float | None = None
