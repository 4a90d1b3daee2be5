"""Surveyed points: immutable arrays, in metres whatever the file's unit was.

A reader turns a file into `SurveyPoints` and says what it assumed as notices. Northing comes
before easting everywhere, as on a plat; angles are radians clockwise from north.
"""

from __future__ import annotations

import math
from dataclasses import field

import numpy as np
import numpy.typing as npt

from staking.frozen import frozen
from staking.ground_scan import GroundScan
from staking.notices import Notice

Array = npt.NDArray[np.float64]
Texts = npt.NDArray[np.object_]

COLUMN_WORDS = (
    "point",
    "northing",
    "easting",
    "elevation",
    "description",
    "latitude",
    "longitude",
    "west-longitude",
    "latitude-dms",
    "longitude-dms",
    "west-longitude-dms",
    "south-latitude",
    "south-latitude-dms",
    "latitude-minutes",
    "latitude-seconds",
    "latitude-letter",
    "longitude-minutes",
    "longitude-seconds",
    "longitude-letter",
    "-",
)
"""What a column of delimited text may be said to hold.

``west-longitude`` counts west of Greenwich as positive, ``south-latitude`` south of the equator.
``-dms`` is packed degrees, minutes and seconds: 42.000150 is 42 degrees 0 minutes 1.50 seconds.
``latitude-minutes`` and the like are parts of an angle in columns of their own, beside its degrees.
``-`` is a column to pass over.
"""


@frozen
class KnownPoint:
    """A point of the survey that the job uses, m; elevation not-a-number where there is none.

    `northing` and `easting` are those of the survey as long as it is being read, and on the lot's
    plane of ground distances from then on.
    """

    name: str
    northing: float
    easting: float
    elevation: float = math.nan
    description: str = ""


@frozen(eq=False)
class SurveyLine:
    """A named chain of points from a format that has them: ``(n, 3)`` northing, easting, elevation.

    Metres; a missing elevation is not-a-number. `is_break_line` marks an edge of the ground.
    """

    name: str
    vertices: Array
    is_break_line: bool = False


@frozen(eq=False)
class Surface:
    """A triangulated ground surface.

    Parameters
    ----------
    name
        As the file names it.
    vertices
        ``(n, 3)`` northing, easting, elevation, m.
    faces
        ``(k, 3)`` indices into `vertices`; hidden faces are left out.
    hidden
        How many faces the file marks as not to be shown.
    """

    name: str
    vertices: Array
    faces: npt.NDArray[np.intp]
    hidden: int = 0

    def is_same_as(self, other: Surface) -> bool:
        """Tell whether another surface has the same points and faces, whatever its name."""
        return np.array_equal(self.vertices, other.vertices) and np.array_equal(
            self.faces, other.faces
        )


@frozen(eq=False)
class SurveyPoints:
    """The points of one survey file.

    Parameters
    ----------
    name
        The file as the user named it.
    format
        The format in words: ``delimited text``, ``LandXML`` ….
    names, descriptions
        ``(n,)`` objects of type str, never cut; a name may occur twice.
    northing, easting
        ``(n,)``, m.
    elevation
        ``(n,)``, m; not-a-number where the file gives none.
    source_line
        ``(n,)`` line of the file each point stands on, counted from 1; 0 where the format has none.
    unit
        The file's own unit by its name in the job file (``ft``, ``us-ft``, ``in``, ``m``, ``mm``).
    columns
        What was read from which column, for delimited text; empty otherwise.
    crs
        ``EPSG:5646`` or the like, or None where nothing says.
    lines, surfaces
        Where the format has them.
    notices
        What was assumed, repaired or left out, never silently.
    scan
        Of a point cloud or a height grid, what the file holds as a whole: its points here have no
        names and lie round the building, or are none where the file was only looked at. None for
        points that were surveyed one by one.
    """

    name: str
    format: str
    names: Texts
    northing: Array
    easting: Array
    elevation: Array
    descriptions: Texts
    source_line: npt.NDArray[np.int64]
    unit: str
    columns: tuple[str, ...] = ()
    crs: str | None = None
    lines: tuple[SurveyLine, ...] = ()
    surfaces: tuple[Surface, ...] = ()
    notices: tuple[Notice, ...] = field(default=())
    scan: GroundScan | None = None

    @property
    def count(self) -> int:
        """How many points there are."""
        return len(self.names)


@frozen
class SurveySettings:
    """What the user says of a survey file; None where the file or the evidence must tell.

    Parameters
    ----------
    unit
        By its name in the job file.
    columns
        The meaning of each column in order, in `COLUMN_WORDS`.
    crs
        ``EPSG:…``.
    job_unit
        What a bare number of the job is in: taken, and said, where neither the user nor the file
        tells the unit of the coordinates.
    skip_bad_lines
        Read the rest and list what was left, instead of refusing the file.
    no_elevation
        What the file writes where no elevation was measured, in its own unit of elevations; empty
        where the user says that every elevation is real; None where he says nothing.
    heights
        The unit of a cloud's or a height grid's heights, by its name in the job file.
    is_listing
        Whether the survey is only looked at. What a layout may not rest on, such as elevations of
        0 that nobody explains, is then said and not refused.
    """

    unit: str | None = None
    job_unit: str | None = None
    columns: tuple[str, ...] | None = None
    crs: str | None = None
    skip_bad_lines: bool = False
    no_elevation: tuple[float, ...] | None = None
    heights: str | None = None
    is_listing: bool = False
