"""What a job says of its lot, as values: metres and radians, points by their survey names."""

from __future__ import annotations

from enum import StrEnum

from staking.deed import Deed
from staking.frozen import frozen
from staking.kinds import Hand, LotPart


class Distances(StrEnum):
    """What the distances between a survey's coordinates are."""

    GRID = "grid"
    GROUND = "ground"


@frozen
class PlaceByBearing:
    """One corner's coordinates and the azimuth of one wall.

    `northing` and `easting` in m; `azimuth` of `wall` from its first corner, rad clockwise from
    the survey's grid north. `wall` is as the job writes it, either way round.
    """

    corner: str
    wall: str
    northing: float
    easting: float
    azimuth: float


@frozen
class PlaceAlong:
    """A wall parallel to the line from one known point to another.

    `wall` runs as `along` runs; its first corner stands `from_first` past the first point, and
    the wall `offset` to the right (negative: left) of the line seen facing the second, m.
    """

    wall: str
    along: tuple[str, str]
    from_first: float
    offset: float


@frozen
class PlaceByFit:
    """Corners that stand at surveyed stakes: pairs of corner and point name."""

    pairs: tuple[tuple[str, str], ...]


@frozen
class TapedCorner:
    """One corner by two tapes: ``(point, distance)`` twice, m."""

    corner: str
    ties: tuple[tuple[str, float], tuple[str, float]]


@frozen
class PlaceByTape:
    """Two corners by two tapes each; `side` is left or right, seen from the first point."""

    corners: tuple[TapedCorner, TapedCorner]
    side: Hand


Place = PlaceByBearing | PlaceAlong | PlaceByFit | PlaceByTape


@frozen
class Shape:
    """A named shape through surveyed points."""

    name: str
    through: tuple[str, ...]


@frozen
class Buried:
    """A buried line through surveyed points, to be dug by hand within `hand_dig` each side, m."""

    name: str
    through: tuple[str, ...]
    hand_dig: float


@frozen
class Setback:
    """What a boundary line between two points asks for, m."""

    start: str
    end: str
    distance: float


@frozen
class BearingGiven:
    """A boundary bearing as the plat prints it, rad clockwise from the plat's north."""

    start: str
    end: str
    azimuth: float


@frozen
class DeedAsked:
    """A boundary by its deed, and the survey points at which its corners were found.

    `pins` are pairs of corner and survey point; empty where none was found.
    """

    deed: Deed
    pins: tuple[tuple[str, str], ...] = ()


@frozen
class KeepOff:
    """A thing through surveyed points from which a part of the building keeps a distance.

    `least` in m; `keeps` is what is measured from. Three points or more
    whose last is the first again are the edge of a piece of ground.
    """

    name: str
    through: tuple[str, ...]
    least: float
    keeps: LotPart


@frozen
class SiteAsked:
    """The site section of the job file.

    Parameters
    ----------
    survey
        Paths of the survey files, already relative to the working directory.
    unit, columns, crs
        What the job says of them; None where the files must tell.
    job_unit
        What the job's bare numbers are in, where no file tells its own.
    place
        How the building is placed, or None.
    boundary
        Names of the points round the lot, in order; empty where none is given, and where it is
        given by its deed.
    deed
        The boundary by its deed, or None.
    setbacks, other_setback
        By boundary line, and for the rest, m; None where none is asked for.
    bearings
        Boundary bearings given beside the file's own.
    overhang
        Eaves past the outside face, m.
    stay_clear
        Shapes through surveyed points; those by corners stand in the plan.
    buried
        Buried lines.
    keep
        What the building keeps off besides.
    distances
        Whether the survey's coordinates are those of its grid or were scaled to the ground.
    combined_factor, scaled_about
        How they were scaled: grid length for one unit on the ground, and northing and easting of
        the point that did not move, m; None where the job does not say.
    height
        Of the lot above the sea, m; None for the mean of the survey's elevations.
    prefix
        What stands before our stakes' names in files and on instruments.
    numbers
        The number of the first stake where stakes have plain numbers, else None.
    no_elevation
        The numbers that the survey's files write where no elevation was measured, in their own
        unit; empty where every number is an elevation; None where the job does not say.
    """

    survey: tuple[str, ...] = ()
    unit: str | None = None
    job_unit: str | None = None
    columns: tuple[str, ...] | None = None
    crs: str | None = None
    place: Place | None = None
    boundary: tuple[str, ...] = ()
    deed: DeedAsked | None = None
    setbacks: tuple[Setback, ...] = ()
    other_setback: float | None = None
    bearings: tuple[BearingGiven, ...] = ()
    overhang: float = 0.0
    stay_clear: tuple[Shape, ...] = ()
    buried: tuple[Buried, ...] = ()
    keep: tuple[KeepOff, ...] = ()
    distances: Distances = Distances.GRID
    combined_factor: float | None = None
    scaled_about: tuple[float, float] | None = None
    height: float | None = None
    prefix: str = ""
    numbers: int | None = None
    no_elevation: tuple[float, ...] | None = None

    @property
    def corner_names(self) -> tuple[str, ...]:
        """The names of the lot's corners in order."""
        return self.boundary if self.deed is None else self.deed.deed.corners

    @property
    def boundary_points(self) -> tuple[str, ...]:
        """The survey points at which corners of the lot stand."""
        if self.deed is None:
            return self.boundary
        return tuple(point for _, point in self.deed.pins)

    @property
    def from_paper(self) -> bool:
        """Whether the lot is known from its deed alone, without any survey."""
        return self.deed is not None and not self.survey
