"""What a job asks of its levels: ground, benchmark, rod, wall tops and rules; all in metres."""

from __future__ import annotations

from staking.errors import Problem
from staking.frozen import frozen
from staking.grade.neighbours import LINE
from staking.grade.stepped_footing import Inside, WallSteps
from staking.grade.stepping.step_rules import GradeRules
from staking.kinds import GroundSource, RodMarks
from staking.units import FOOT, Unit


@frozen
class ScanAsked:
    """The clouds or height grids that are the ground.

    Parameters
    ----------
    files
        Their paths, beside the job file.
    unit, heights_unit, crs
        In what northing and easting, and the heights, are, and their coordinate system, where the
        files do not say it or say it wrongly; None where they say it.
    """

    files: tuple[str, ...] = ()
    unit: str | None = None
    heights_unit: str | None = None
    crs: str | None = None


@frozen
class GroundAsked:
    """Where the ground's elevations come from.

    Parameters
    ----------
    source
        Which of them.
    corners
        Corner name and elevation or rod reading, m.
    along
        Wall or interior line as the job writes it, station from its first corner, and elevation
        or rod reading, m.
    pads
        Pad and elevation or rod reading, m.
    instrument
        Height of instrument for rod readings, m.
    book
        Path of the level book, beside the job file; empty without.
    surface
        Which of the survey's surfaces is the ground; None for its only one, or its points.
    scan
        The clouds or height grids, where they are the ground.
    unit
        The job's: what a book's bare numbers are in where its heading does not say, and how the
        rod is marked.
    """

    source: GroundSource
    corners: tuple[tuple[str, float], ...] = ()
    pads: tuple[tuple[str, float], ...] = ()
    along: tuple[tuple[str, float, float], ...] = ()
    instrument: float | None = None
    book: str = ""
    surface: str | None = None
    scan: ScanAsked = ScanAsked()
    unit: Unit = Unit.FT


@frozen
class FinishedAsked:
    """Finished grade: so much above the existing ground, m, or its own points."""

    above: float = 0.0
    points: GroundAsked | None = None


@frozen
class BenchmarkAsked:
    """The benchmark: a survey point, or a thing with a name and an elevation, m."""

    name: str
    elevation: float | None = None


@frozen
class TopAsked:
    """Top of wall: an elevation, m, or so much above the highest ground round the building."""

    elevation: float | None = None
    above_highest: float | None = None


@frozen
class SectionPlace:
    """Where the section stands, for faults that show only beside the survey.

    Parameters
    ----------
    path
        The job's file as the user named it, or None.
    lines
        Key of the section and its line.
    """

    path: str | None = None
    lines: tuple[tuple[str, int], ...] = ()

    def problem(self, key: str, message: str, remedy: str, within: str = "") -> Problem:
        """Make a fault of one key.

        Parameters
        ----------
        key, within
            The key, empty for the whole section, and what of it where it has keys of its own.
        message, remedy
            As `staking.errors.Problem` has them.

        Returns
        -------
        Problem
            With its place.
        """
        return Problem(
            message=message,
            remedy=remedy,
            path=self.path,
            line=dict(self.lines).get(key),
            field=" ".join(word for word in ("grade", key, within) if word),
        )


@frozen
class GradeAsked:
    """The job's grade section.

    Parameters
    ----------
    rod
        How the rod is marked.
    rod_length
        m.
    walls
        Fixed and forbidden steps and tops per wall.
    veneer
        Whether a veneer stands on the wall, so that grade may come nearer to its top.
    reading_on_benchmark
        The rod reading on the benchmark, m, which gives the height of instrument; None without.
    stake_tops
        Corner or pad and the elevation of its stake's top, m, for tapes along the slope.
    fall
        Of the line below a neighbouring footing that no dig may cross, rad below the level.
    nearest_beyond
        Whether ground beyond what was surveyed or read is taken from the nearest.
    written
        Where the section stands.
    """

    ground: GroundAsked
    finished: FinishedAsked
    benchmark: BenchmarkAsked | None
    top_of_wall: TopAsked
    rules: GradeRules
    walls: tuple[WallSteps, ...] = ()
    inside: Inside | None = None
    rod: RodMarks = RodMarks.INCHES
    rod_length: float = 13 * FOOT
    instrument: float | None = None
    veneer: bool = False
    reading_on_benchmark: float | None = None
    stake_tops: tuple[tuple[str, float], ...] = ()
    fall: float = LINE
    nearest_beyond: bool = False
    written: SectionPlace = SectionPlace()
