"""Cells along a wall, and the bottom that frost and bearing allow in each."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache
from itertools import pairwise
from typing import Protocol

import numpy as np
import numpy.typing as npt

from staking.errors import ComputationError
from staking.footing.bands_and_outlines import Ring
from staking.frozen import frozen
from staking.grade.stepped_footing import CellBounds, Inside
from staking.grade.stepping.step_rules import GradeRules
from staking.grade.stepping.wall_network import Strand
from staking.kinds import FootingKind
from staking.lines import clip_ring
from staking.plan import Point
from staking.tolerances import MOST_COURSES, ON_LINE

Floats = npt.NDArray[np.float64]


@frozen
class Patch:
    """A convex piece of ground under a footing.

    Parameters
    ----------
    wall
        The wall, interior line or pad.
    start, end
        Stations it lies between, m, within the wall's ends.
    ring
        Its corners on the building grid, m.
    """

    wall: str
    start: float
    end: float
    ring: Ring


class Ground(Protocol):
    """Something that has an elevation everywhere under the footing."""

    def at(self, places: Floats) -> Floats:
        """Give elevations at places ``(k, 2)``, m; not-a-number where they are not known."""
        ...

    def lowest(self, patches: Sequence[Patch]) -> Floats:
        """Give the lowest elevation in each patch, m."""
        ...

    def highest(self, patches: Sequence[Patch]) -> Floats:
        """Give the highest elevation in each patch, m."""
        ...


@frozen
class SiteGround:
    """The ground as it is and as it will be.

    Parameters
    ----------
    existing, finished
        The two grounds. Where `finished` is None, finished grade is the existing ground raised
        by `fill`, m.
    inside
        The ground inside the building, or None for the same as outside.
    """

    existing: Ground
    finished: Ground | None = None
    fill: float = 0.0
    inside: Inside | None = None

    def finished_highest(self, patches: Sequence[Patch]) -> Floats:
        """Give the highest finished elevation in each patch.

        Returns
        -------
        ndarray
            Elevations, m.
        """
        if self.finished is not None:
            return self.finished.highest(patches)
        return self.existing.highest(patches) + self.fill

    def finished_lowest(self, patches: Sequence[Patch]) -> Floats:
        """Give the lowest finished elevation in each patch.

        Returns
        -------
        ndarray
            Elevations, m.
        """
        if self.finished is not None:
            return self.finished.lowest(patches)
        return self.existing.lowest(patches) + self.fill


def cell_edges(strand: Strand, module: float, fixed: Sequence[float] = ()) -> Floats:
    """Cut a wall into cells.

    Parameters
    ----------
    strand
        The wall.
    module
        The cells' length from where the wall's bond starts, m.
    fixed
        Further cuts, stations, m.

    Returns
    -------
    ndarray
        Stations of the cells' ends, m. Corners and junctions cut cells; the bond runs through.
    """
    firm = [station for _, station in strand.nodes]
    bond = module * np.arange(1, math.ceil(strand.length / module - ON_LINE))
    if strand.bond_from > 0:
        bond = strand.bond_from - bond
    cuts = list(firm)
    for group in (fixed, bond.tolist()):
        known = np.array(cuts)
        cuts += [
            station
            for station in group
            if 0 < station < strand.length and np.abs(known - station).min() > ON_LINE
        ]
    return np.array(sorted(cuts))


def cell_patches(strand: Strand, edges: Floats) -> list[Patch]:
    """Give the ground under each cell.

    Parameters
    ----------
    strand
        The wall.
    edges
        Stations of the cells' ends, m.

    Returns
    -------
    list of Patch
        One a cell; the end cells take the footing out to its mitred corners.
    """
    return list(_patches(strand, tuple(edges.tolist())))


@lru_cache(maxsize=256)
def _patches(strand: Strand, edges: tuple[float, ...]) -> tuple[Patch, ...]:
    # Steps, cover, depth and digs of a wall are all judged on the same cells.
    ring = strand.local(strand.hull)
    last = len(edges) - 2
    patches = []
    for i, (start, end) in enumerate(pairwise(edges)):
        piece = ring if i == 0 else clip_ring(ring, 1.0, 0.0, -start)
        piece = piece if i == last else clip_ring(piece, -1.0, 0.0, end)
        if not piece:
            # A sharp corner's inner mitre may leave a cell no footing but its outside face.
            piece = [(start, 0.0), (end, 0.0)]
        patches.append(Patch(wall=strand.name, start=start, end=end, ring=_world(strand, piece)))
    return tuple(patches)


def cell_bounds(
    strand: Strand, edges: Floats, site: SiteGround, rules: GradeRules, top: float
) -> CellBounds:
    """Find what each cell needs.

    Parameters
    ----------
    strand, edges
        The wall and its cells.
    site
        The ground.
    rules
        Depths and courses.
    top
        Top of the wall, m.

    Returns
    -------
    CellBounds
        Highest bottoms by frost and bearing, and the fewest courses.

    Raises
    ------
    ComputationError
        Where the wall would have more courses than any has.
    """
    patches = cell_patches(strand, edges)
    frost, bearing = _allowed(strand, patches, site, rules)
    thickness = strand.footing.thickness
    required = courses_needed(top - thickness, np.minimum(frost, bearing), rules)
    if required.max(initial=0) > MOST_COURSES:
        raise ComputationError(
            f"{strand.name} would stand {required.max()} courses high, and no wall has over "
            f"{MOST_COURSES}; check top_of_wall, the ground and course"
        )
    return CellBounds(
        wall=strand.name,
        top=top,
        thickness=thickness,
        edges=tuple(edges.tolist()),
        frost=tuple(frost.tolist()),
        bearing=tuple(bearing.tolist()),
        required=tuple(required.tolist()),
    )


def courses_needed(
    bottom_at_none: float, allowed: Floats, rules: GradeRules
) -> npt.NDArray[np.int64]:
    """Count the courses that bring the bottom down to where it is allowed.

    Parameters
    ----------
    bottom_at_none
        Where the footing's bottom would be under a wall without a course, m: the top of the wall
        less the footing's thickness.
    allowed
        Highest allowed bottoms, m.
    rules
        Course and least number of courses.

    Returns
    -------
    ndarray
        Whole courses, rounded up; a shortfall under `tolerances.ON_LINE` counts as met.
    """
    count = np.ceil((bottom_at_none - allowed - ON_LINE) / rules.course)
    return np.maximum(count, rules.least_courses).astype(np.int64)


def allowed_on(
    patches: Sequence[Patch], site: SiteGround, rules: GradeRules, finished: Floats | None = None
) -> tuple[Floats, Floats]:
    """Give the highest bottoms that frost and bearing allow.

    Parameters
    ----------
    patches
        Pieces of ground.
    site
        The ground.
    rules
        Depths.
    finished
        Lowest finished elevations in place of the site's, m.

    Returns
    -------
    tuple of ndarray
        By frost and by bearing, m. Undisturbed ground is the lower of finished grade and
        existing ground less the strip.
    """
    existing = site.existing.lowest(patches)
    if finished is None:
        finished = existing + site.fill
        if site.finished is not None:
            finished = site.finished.lowest(patches)
    undisturbed = np.minimum(finished, existing - rules.strip)
    return finished - rules.frost_depth, undisturbed - rules.in_ground


def _allowed(
    strand: Strand, patches: list[Patch], site: SiteGround, rules: GradeRules
) -> tuple[Floats, Floats]:
    if site.inside is None:
        return allowed_on(patches, site, rules)
    grade = np.full(len(patches), site.inside.grade)
    frost, bearing = allowed_on(patches, site, rules, grade)
    if site.inside.heated:
        frost = np.full(len(patches), np.inf)
    if strand.kind is FootingKind.WALL:
        outer = [outside_part(strand, patch) for patch in patches]
        outer_frost, outer_bearing = allowed_on(outer, site, rules)
        frost, bearing = np.minimum(frost, outer_frost), np.minimum(bearing, outer_bearing)
    return frost, bearing


def outside_part(strand: Strand, patch: Patch) -> Patch:
    """Give the part of a patch that lies outside the wall's outside face.

    Where nothing of the patch lies outside, the face itself is given.

    Returns
    -------
    Patch
        Of the same cell.
    """
    piece = clip_ring(strand.local(patch.ring), 0.0, 1.0, 0.0)
    if not piece:
        piece = [(patch.start, 0.0), (patch.end, 0.0)]
    return Patch(wall=patch.wall, start=patch.start, end=patch.end, ring=_world(strand, piece))


def _world(strand: Strand, piece: list[Point]) -> Ring:
    return tuple(strand.place(station, offset) for station, offset in piece)
