"""Elevations that nobody measured: marks for none, zeros among others, moved decimal points.

A file of points has to write something where no elevation was measured. What can be no ground is
taken for none and said. What may be ground or may be none, such as 0 among elevations of 230 to
258, is refused until the user says which, for a footing would be dug by it.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np
import numpy.typing as npt

from staking.errors import InputError, Problem
from staking.notices import Notice, Severity, notice
from staking.points import Array, Surface, SurveyLine, SurveySettings, Texts
from staking.survey.name_list import listed
from staking.units import Unit

HIGHER_THAN_GROUND = 1e5
"""An elevation this far off, m, is a mark for none: -9.99E+27 and the like (common practice, no
source)."""

MARKS = (-9999.0, -99999.0, -999999.0, -32768.0, -32767.0)
"""Elevations, in the file's unit, that are a mark for none (common practice, no source)."""

MARKS_FAR_OFF = (-999.0, -999.25, -999.99, -9999.99, 9999.0, 9999.99, 99999.0, 99999.99, 999999.0)
"""Elevations that are a mark for none where all others lie far from them (common practice, no
source)."""

FAR_FROM_MARK = 100.0
"""How far the others must lie from one of `MARKS_FAR_OFF`, m (common practice, no source)."""

FAR_FROM_NOTHING = 3.048
"""Where the others all lie farther than this from 0, m, an elevation of 0 is asked about: ten feet
(common practice, no source)."""

LEAST_SPREAD = 3.0
"""A lot's elevations are taken to spread over at least this, m (common practice, no source)."""

OUTLIER_SPREADS = 10.0
"""An elevation so many spreads from the middle is far off the others, where a spread is six times
the middle distance from the middle (common practice, no source)."""

SURELY_A_SLIP = 50.0
"""An elevation farther than this from the others, m, that comes among them when its decimal point
is moved, is refused (common practice, no source)."""

_SAMPLED = 5000
"""Some thousands of elevations tell the middle and the spread of millions."""

MOST_SLIPS = 0.1
"""Where more than this share of the elevations lies far off, the file holds more than one lot
(common practice, no source)."""

_SAME = 1e-9
"""An elevation in the file's unit agrees with a number to this share of it."""

Flags = npt.NDArray[np.bool_]


@dataclass(slots=True, kw_only=True)
class ElevationCheck:
    """Looks through the elevations of one survey.

    Parameters
    ----------
    path
        The file as the user named it.
    unit
        Of its elevations.
    settings
        Of which `no_elevation` and `is_listing` count.
    notices, problems
        What was found; `refuse` raises the problems.
    """

    path: str
    unit: Unit
    settings: SurveySettings
    notices: list[Notice] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)

    def of_points(self, names: Texts, levels: Array, lines: npt.NDArray[np.int64]) -> Array:
        """Settle the elevations of points.

        Parameters
        ----------
        names, levels, lines
            ``(n,)``: names, elevations in m or not-a-number, and lines of the file.

        Returns
        -------
        Array
            ``(n,)``, m; not-a-number also where the file has a mark for none. The array given
            where it has none.
        """
        settled, marked = self._without_marks(levels)
        if marked:
            self._say_marked(marked, "elevations")
        self._weigh(settled, "elevations", names, lines)
        return settled

    def of_lines(self, lines: tuple[SurveyLine, ...]) -> tuple[SurveyLine, ...]:
        """Settle the elevations of break lines, m; a vertex without one is left out of its line.

        Returns
        -------
        tuple of SurveyLine
            The lines; a break line of which less than two vertices are left is dropped.
        """
        drawn = [line for line in lines if line.is_break_line]
        if not drawn:
            return lines
        levels = np.concatenate([line.vertices[:, 2] for line in drawn])
        settled, marked = self._without_marks(levels)
        if not self.problems:
            self._weigh(settled, "elevations of break lines")
        if not marked:
            return lines
        self._say_marked(marked, "elevations of break lines")
        kept: list[SurveyLine] = []
        for line in lines:
            if line.is_break_line:
                own, _ = self._without_marks(line.vertices[:, 2])
                has_level = ~np.isnan(own) | np.isnan(line.vertices[:, 2])
                line = replace(line, vertices=line.vertices[has_level])
            if len(line.vertices) > 1:
                kept.append(line)
        return tuple(kept)

    def of_surfaces(self, surfaces: tuple[Surface, ...]) -> tuple[Surface, ...]:
        """Settle the elevations of surfaces, m; faces at a point without one are left out.

        Returns
        -------
        tuple of Surface
            The surfaces.
        """
        made = []
        for surface in surfaces:
            settled, marked = self._without_marks(surface.vertices[:, 2])
            if not self.problems:
                self._weigh(settled, f"elevations of surface {surface.name}")
            if marked:
                surface = self._without_faces(surface, np.isnan(settled))
            made.append(surface)
        return tuple(made)

    def refuse(self) -> None:
        """Raise what was found wrong.

        Raises
        ------
        InputError
            Where elevations are doubtful, nobody says what they are, and more is asked of the
            survey than a look at it.
        """
        if self.problems and not self.settings.is_listing:
            raise InputError(*self.problems)
        self.notices += [
            notice("elevations-doubtful", "{what}", what=f"{each.message}; {each.remedy}")
            for each in self.problems
        ]

    # --- marks for none ---------------------------------------------------------------------------

    def _without_marks(self, levels: Array) -> tuple[Array, dict[float, int]]:
        """Return the elevations without the marks, and how often each mark occurs."""
        if len(levels) == 0:
            return levels, {}
        low, high = float(np.fmin.reduce(levels)), float(np.fmax.reduce(levels))
        given = self.settings.no_elevation or ()
        metres = self.unit.metres
        marked: Flags = np.zeros(len(levels), dtype=bool)
        if low <= -HIGHER_THAN_GROUND or high >= HIGHER_THAN_GROUND:
            marked |= np.isfinite(levels) & (np.abs(levels) >= HIGHER_THAN_GROUND)
        for value in (*given, *MARKS):
            if low <= value * metres + 1.0 and value * metres - 1.0 <= high:
                marked |= _same(levels, value * metres)
        if self.settings.no_elevation is None:
            for value in MARKS_FAR_OFF:
                if low <= value * metres + 1.0 and value * metres - 1.0 <= high:
                    marked |= self._is_far_mark(levels, marked, value * metres)
        if not marked.any():
            return levels, {}
        values, counts = np.unique(levels[marked] / metres, return_counts=True)
        shown = {round(float(value), 9): int(n) for value, n in zip(values, counts, strict=True)}
        return np.where(marked, np.nan, levels), shown

    def _is_far_mark(self, levels: Array, marked: Flags, value: float) -> Flags:
        here = _same(levels, value) & ~marked
        others = levels[~here & ~marked & ~np.isnan(levels)]
        if not here.any() or len(others) == 0:
            return here
        low, high = np.percentile(others, (5.0, 95.0))
        away = max(low - value, value - high)
        return here if away > FAR_FROM_MARK else np.zeros_like(here)

    def _say_marked(self, marked: dict[float, int], what: str) -> None:
        values, count = sorted(marked), sum(marked.values())
        given = self.settings.no_elevation or ()
        sure = all(value in given or value in MARKS or abs(value) >= 1e6 for value in values)
        self.notices.append(
            notice(
                "elevation-marks",
                "{count} {what} of {marks} " + ("is" if count == 1 else "are") + " read as none",
                severity=Severity.NOTE if sure else Severity.WARNING,
                count=count,
                what=what.replace("elevations", "elevation", 1) if count == 1 else what,
                marks=", ".join(f"{value:.10G}" for value in values[:5]),
            )
        )

    def _without_faces(self, surface: Surface, none: Flags) -> Surface:
        kept = ~none[surface.faces].any(axis=1) if len(surface.faces) else np.zeros(0, dtype=bool)
        left_out = len(surface.faces) - int(kept.sum())
        self.notices.append(
            notice(
                "surface-marks",
                "surface {surface} has a mark for no elevation at {count} of its points; the "
                "{faces} faces there are left out",
                count=int(none.sum()),
                surface=surface.name,
                faces=left_out,
            )
        )
        index = np.cumsum(~none) - 1
        return replace(
            surface,
            vertices=surface.vertices[~none],
            faces=np.asarray(index[surface.faces[kept]], dtype=np.intp).reshape(-1, 3),
        )

    # --- zeros and slips ------------------------------------------------------------------------

    def _weigh(
        self,
        levels: Array,
        what: str,
        names: Texts | None = None,
        lines: npt.NDArray[np.int64] | None = None,
    ) -> None:
        """Look for zeros among others and for decimal points that have moved."""
        if self.settings.no_elevation == () or len(levels) == 0:
            return
        low, high = float(np.fmin.reduce(levels)), float(np.fmax.reduce(levels))
        if not high - low > FAR_FROM_NOTHING:
            return
        known = levels[~np.isnan(levels)]
        if low <= 0.0 <= high and (known == 0.0).any():
            others = known[known != 0.0]
            near, far = np.percentile(others, (5.0, 95.0))
            if near > FAR_FROM_NOTHING or far < -FAR_FROM_NOTHING:
                self._ask_about_zeros(levels, others, what, names)
                known = others
        self._look_for_slips(levels, known, what, names, lines)

    def _ask_about_zeros(
        self, levels: Array, others: Array, what: str, names: Texts | None
    ) -> None:
        at = np.flatnonzero(levels == 0.0)
        count = len(at) + len(others)
        more = f" and {len(at) - 5} more" if len(at) > 5 else ""
        shown = "" if names is None else ", ".join(str(names[i]) for i in at[:5])
        called = f" (point{'s' * (len(at) > 1)} {shown}{more})" if shown else ""
        verb = "is" if len(at) == 1 else "are"
        rest = f"between {self._shown(others.min())} and {self._shown(others.max())}"
        self.problems.append(
            Problem(
                path=self.path,
                message=f"{len(at)} of {count} {what} {verb} exactly 0{called}, and the others lie "
                f"{rest} {self.unit.value}",
                remedy="if nothing was measured there give --no-elevation 0 (under site: "
                "no_elevation: 0), if they are real --no-elevation none (no_elevation: none)",
            )
        )

    def _look_for_slips(
        self,
        levels: Array,
        known: Array,
        what: str,
        names: Texts | None,
        lines: npt.NDArray[np.int64] | None,
    ) -> None:
        """Name elevations that a moved decimal point explains, and others far off the rest."""
        if not np.ptp(known) > OUTLIER_SPREADS * LEAST_SPREAD:
            return
        sample = known[:: max(1, len(known) // _SAMPLED)]
        middle = float(np.median(sample))
        limit = OUTLIER_SPREADS * max(6.0 * float(np.median(np.abs(sample - middle))), LEAST_SPREAD)
        at = np.flatnonzero((np.abs(levels - middle) > limit) & (levels != 0.0))
        if len(known) < 3 or len(at) == 0 or len(at) > max(1.0, MOST_SLIPS * len(known)):
            return
        rest = known[np.abs(known - middle) <= limit]
        between = f"between {self._shown(rest.min())} and {self._shown(rest.max())}"
        said = []
        for i in at[:20].tolist():
            called = f"one of the {what}" if names is None else f"the elevation of {names[i]}"
            meant = _with_point_moved(float(levels[i]), rest)
            here = f"{called} is {self._shown(levels[i])} {self.unit.value}"
            if meant is None:
                said.append(here)
                continue
            self.problems.append(
                Problem(
                    path=self.path,
                    line=None if lines is None else int(lines[i]) or None,
                    message=f"{here}, and the others lie {between}; with its decimal point moved "
                    f"it is {self._shown(meant)}",
                    remedy="correct it, or give --no-elevation "
                    f"{self._shown(levels[i])} to leave it out (under site: no_elevation:), "
                    "--no-elevation none if it is real",
                )
            )
        if said:
            more = f" and {len(at) - 20} more" if len(at) > 20 else ""
            self.notices.append(
                notice(
                    "elevation-outliers",
                    "{which}, far from the others, which lie {between}",
                    which=listed(said) + more,
                    between=between,
                )
            )

    def _shown(self, metres: float) -> str:
        return f"{round(float(metres) / self.unit.metres, 4) + 0.0:.10g}"


def _same(levels: Array, value: float) -> Flags:
    found: Flags = np.abs(levels - value) <= _SAME * max(1.0, abs(value))
    return found


def _with_point_moved(level: float, others: Array) -> float | None:
    """Return the elevation with its decimal point one or two places off, if that is ground."""
    low, high = float(others.min()), float(others.max())
    if max(low - level, level - high) <= SURELY_A_SLIP:
        return None
    for factor in (0.1, 10.0, 0.01, 100.0):
        if low - LEAST_SPREAD <= level * factor <= high + LEAST_SPREAD:
            return level * factor
    return None
