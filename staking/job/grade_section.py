"""The grade section read whole: ground, levels, rules, and what differs along single walls."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING

from staking.frozen import frozen
from staking.grade.grade_request import (
    BenchmarkAsked,
    FinishedAsked,
    GradeAsked,
    SectionPlace,
    TopAsked,
)
from staking.grade.neighbours import LINE
from staking.grade.stepped_footing import Inside, WallSteps
from staking.grade.stepping.step_rules import PLAIN, GradeRules, StepRule, preset
from staking.job.ground_section import GroundReader
from staking.job.keys.grade_keys import GradeKeys
from staking.job.keys.ground_keys import above_of
from staking.job.keys.plausible_check import judge
from staking.job.tree.faults import Faults
from staking.job.tree.section_check import check_section
from staking.job.tree.sections import section_of
from staking.job.tree.source import Branch, Scalar
from staking.kinds import RodMarks
from staking.measure.lengths import FOOT, INCH, Unit, format_length
from staking.notices import Length, Severity, notice
from staking.plan import Show
from staking.tolerances import ON_LINE, SAME_POINT

if TYPE_CHECKING:
    from staking.job.building.pads import OnLines

ROD_LENGTH = 13 * FOOT
"""The rod's length where the job gives none, m (common practice, no source)."""

_LEAST_FROST = 3 * INCH
"""No building department's frost depth is less, m, but for none (common practice, no source)."""

_DOUBTFUL_FROST = 2.0
"""A bare frost depth under this many feet may have been meant in metres (common practice, no
source)."""


@frozen(kw_only=False)
class _Own:
    """What is said of one wall: its name as written, its fixed steps and its top, m."""

    wall: str
    fixed: tuple[float, ...] | None = None
    top: float | None = None


def read_grade(root: Branch, faults: Faults) -> GradeReader | None:
    """Check the grade section alone, and give what reads it once the building is known."""
    if "grade" not in root:
        return None
    branch = section_of(root, "grade", faults)
    if not branch:
        if not faults.touched(("grade",)):
            faults.add(("grade",), "nothing is given", "write its keys, or take the line out")
        return None
    return GradeReader(branch, faults)


class GradeReader(GroundReader):
    """Reads the section, noting every fault where it stands."""

    def __init__(self, branch: Branch, faults: Faults) -> None:
        super().__init__(branch, check_section(GradeKeys, branch, faults), faults)
        self.unit = faults.unit
        self.instrument = self.keys.instrument
        self.rod_length = ROD_LENGTH if self.keys.rod_length is None else self.keys.rod_length

    def read(
        self,
        lines: OnLines,
        corners: tuple[str, ...],
        needed: tuple[str, ...],
        pads: tuple[str, ...],
        tops: tuple[tuple[str, float], ...],
    ) -> GradeAsked | None:
        """Read what is asked of the levels.

        Parameters
        ----------
        lines
            What finds walls and interior lines.
        corners, needed, pads
            All corners of the job, those where a wall of ours stands, and its pads.
        tops
            Wall tops given with the walls themselves: name and elevation, m.

        Returns
        -------
        GradeAsked or None
            None where a fault keeps it from being made.
        """
        self._check_sizes()
        self.pads = pads
        ground = self.read_ground(lines, corners, needed)
        finished = self.read_finished(lines, corners, needed)
        top = self._top()
        rules = self._rules()
        walls = self._walls(lines, tops)
        benchmark, inside = self._benchmark(), self._inside()
        stake_tops = self._stake_tops((*corners, *pads))
        if ground is None or top is None or rules is None:
            return None
        keys = self.keys
        return GradeAsked(
            ground=ground,
            finished=finished if "finished" in self.branch else FinishedAsked(),
            benchmark=benchmark,
            top_of_wall=top,
            rules=rules,
            walls=walls,
            inside=inside,
            rod=RodMarks(keys.rod or RodMarks.INCHES),
            rod_length=self.rod_length,
            instrument=keys.instrument,
            veneer=bool(keys.veneer),
            stake_tops=stake_tops,
            fall=LINE if keys.neighbour_line is None else keys.neighbour_line,
            nearest_beyond=keys.beyond is not None,
            written=SectionPlace(path=self.faults.path, lines=tuple(self.branch.lines.items())),
        )

    def _check_sizes(self) -> None:
        """Note a frost depth in another unit than it was meant in."""
        depth = self.keys.frost_depth
        if depth is not None and 0.0 < depth < _LEAST_FROST - ON_LINE:
            text = self.branch["frost_depth"].text
            read = "" if text == self.faults.length(depth) else f", read as {self._both(depth)},"
            self.fault(("frost_depth",), f"{text}{read} is too small for frost_depth",
                       _meant(text))  # fmt: skip
        frost = self.branch.get("frost_depth")
        metres = self.keys.frost_depth
        if metres and isinstance(frost, Scalar) and self.unit in {Unit.FT, Unit.US_FT}:
            bare = re.fullmatch(r"[0-9.]+", frost.text.strip())
            if bare and 3 * INCH <= metres < _DOUBTFUL_FROST * FOOT - ON_LINE:
                self.faults.notices.append(
                    notice(
                        "frost-depth-doubtful",
                        "frost_depth {text} is read as {depth}; if metres were meant, write "
                        "{text} m",
                        Severity.WARNING,
                        text=frost.text.strip(),
                        depth=Length(metres),
                    )
                )

    def _both(self, metres: float) -> str:
        shown = self.faults.length(metres)
        if self.faults.show in {Show.METRES, Show.MILLIMETRES}:
            return shown
        return f"{shown} ({format_length(metres, Show.METRES)})"

    def _top(self) -> TopAsked | None:
        top = self.keys.top_of_wall
        if "top_of_wall" not in self.branch:
            self.fault(("top_of_wall",), "this key is missing",
                        "add top_of_wall: 103', or highest ground + 8\"")  # fmt: skip
        if top is None or top.above_highest is None:
            return top
        place = (*self.branch.place, "top_of_wall")
        text = above_of(self.branch["top_of_wall"].text)
        key = "grade.top_of_wall above"
        return top if judge(key, place, top.above_highest, self.faults, self.unit, text) else None

    def _rules(self) -> GradeRules | None:
        keys = self.keys
        if keys.frost_depth is None:
            if not self.faults.touched((*self.branch.place, "frost_depth")):
                self.fault(("frost_depth",), "this key is missing",
                            'add frost_depth: 48", the building department\'s figure')  # fmt: skip
            return None
        rule: StepRule = PLAIN if keys.rules is None else preset(keys.rules)
        if keys.overlap is not None:
            rule = replace(rule, overlap=max(rule.overlap, keys.overlap))
        default = GradeRules(frost_depth=keys.frost_depth)
        given = {
            key: getattr(keys, key)
            for key in (
                "in_ground", "strip", "course", "least_courses", "max_step", "min_run",
                "corner_run", "module", "step_cost", "most_steps",
            )
            if getattr(keys, key) is not None
        }  # fmt: skip
        return replace(default, rule=rule, **given)

    def _benchmark(self) -> BenchmarkAsked | None:
        keys = self.keys.benchmark
        if keys is None:
            return None
        given = self.branch["benchmark"]
        if "point" in given:
            for key in ("name", "elevation"):
                if key in given:
                    self.fault(("benchmark", key), "point is given as well",
                                "keep point, or name and elevation")  # fmt: skip
            site = self.faults.root.get("site")
            if not isinstance(site, Branch) or "survey" not in site:
                self.fault(("benchmark", "point"), "there is no survey to find it in",
                            "add site: with survey:, or give name and elevation")  # fmt: skip
            return None if keys.point is None else BenchmarkAsked(name=keys.point)
        missing = [key for key in ("name", "elevation") if key not in given]
        if missing:
            self.fault(("benchmark",), f"{' and '.join(missing)} "
                        f"{'is' if len(missing) == 1 else 'are'} missing",
                        "give name, elevation")  # fmt: skip
        if keys.name is None or keys.elevation is None:
            return None
        return BenchmarkAsked(name=keys.name, elevation=keys.elevation)

    def _stake_tops(self, names: tuple[str, ...]) -> tuple[tuple[str, float], ...]:
        found = []
        for name, level in self.keys.stake_tops.items():
            if names and name not in names:
                self.fault(("stake_tops", name), f"{name} is not a corner and no pad",
                            f"write one of {', '.join(names)}")  # fmt: skip
            else:
                found.append((name, level))
        return tuple(found)

    def _inside(self) -> Inside | None:
        keys = self.keys.inside
        if keys is None:
            return None
        if keys.grade is None:
            if not self.faults.touched((*self.branch.place, "inside")):
                self.fault(("inside",), "grade is missing", "give grade: 102' 4\"")
            return None
        return Inside(grade=keys.grade, heated=bool(keys.heated))

    def _walls(self, lines: OnLines, tops: tuple[tuple[str, float], ...]) -> tuple[WallSteps, ...]:
        """Gather what is said of single walls, whichever end they are named from."""
        own: dict[str, _Own] = {}
        for name, metres in tops:
            wall = lines.frame.walls.get(name)
            key = wall.name if wall is not None else name
            own[key] = _Own(key, top=metres)
        self._read_tops(lines, own)
        self._read_steps(lines, own)
        self._read_level(lines, own)
        return tuple(WallSteps(wall=o.wall, fixed=o.fixed, top=o.top) for o in own.values())

    def _read_tops(self, lines: OnLines, own: dict[str, _Own]) -> None:
        for name, keys in self.keys.walls.items():
            wall = lines.find(name, (*self.branch.place, "walls", name))
            if wall is None or keys.top_of_wall is None:
                continue
            before = own.get(wall.name)
            if before is not None and before.top is not None:
                self.fault(("walls", name), "its top is given already", "keep one of them")
            own[wall.name] = _Own(wall.name, top=keys.top_of_wall)

    def _read_steps(self, lines: OnLines, own: dict[str, _Own]) -> None:
        for name, stations in self.keys.steps.items():
            here = ("steps", name)
            wall = lines.find(name, (*self.branch.place, *here))
            if wall is None:
                continue
            for i, station in enumerate(stations):
                if not SAME_POINT < station < wall.length - SAME_POINT:
                    self.fault((*here, i), f"{self.faults.length(station)} is not on {name}",
                                f"{name} is {self.faults.length(wall.length)} long")  # fmt: skip
            self._keep(own, wall.name, _Own("-".join(name.split()) if wall.turned else wall.name,
                       tuple(stations)), here)  # fmt: skip

    def _read_level(self, lines: OnLines, own: dict[str, _Own]) -> None:
        for i, name in enumerate(self.keys.level):
            wall = lines.find(name, (*self.branch.place, "level", i))
            if wall is not None:
                self._keep(own, wall.name, _Own(wall.name, ()), ("level", i))

    def _keep(
        self, own: dict[str, _Own], name: str, said: _Own, here: tuple[str | int, ...]
    ) -> None:
        before = own.get(name)
        if before is not None and before.fixed is not None:
            self.fault(here, f"the steps of {name} are said already", "keep one of the two")
            return
        top = before.top if before is not None else None
        own[name] = replace(said, top=top)


def _meant(text: str) -> str:
    """Say what may have been meant by a frost depth that is none."""
    number = re.match(r"[0-9.]+", text.strip())
    if number is not None:
        return f"write {number[0]} m if metres were meant, or 0 where the ground does not freeze"
    return "check the number and its unit"
