"""In which order the corner stakes are set, and by which two tapes each."""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence

import numpy as np
from numpy.typing import NDArray

from staking.frozen import frozen
from staking.kinds import Hand, SettingMethod
from staking.lines import cross
from staking.network.geometry import Floats
from staking.tolerances import SAME_POINT

FLAT_SWING = math.radians(30)
"""Tapes that meet at less than this, or within it of in line, fix a point poorly.

At 30 degrees the place is out by twice what it is at 90: errors grow by sqrt(2) / sin(swing).
Where to warn is common practice, no source.
"""

HOPELESS = math.sin(math.radians(5))
"""Tapes that meet at a lesser angle are no way to set a stake (common practice, no source)."""

ALIKE = 6
"""Sines are compared to this many decimals, so that equal swings stay equal when turned."""


@frozen
class CornerSetting:
    """How one corner's stake is set.

    Parameters
    ----------
    corner
        The corner.
    method
        How it is set.
    tapes
        From which stakes, and how far, m: two for two tapes, one else.
    sight
        The stake that gives the line: beyond or behind it for a stake in line, the end of the wall
        that is squared off for a square one; empty else.
    swing
        The angle at which two tapes meet, rad, up to half a turn; None else.
    side
        On which side of the line from the first stake to the second two tapes meet; None else.
    """

    corner: str
    method: SettingMethod
    tapes: tuple[tuple[str, float], ...]
    sight: str = ""
    swing: float | None = None
    side: Hand | None = None

    @property
    def flat(self) -> bool:
        """Whether the two tapes meet at a flat or a sharp angle."""
        return self.swing is not None and math.sin(self.swing) < math.sin(FLAT_SWING) - 1e-9


class SettingOut:
    """Stakes that stand, and the best two tapes to every other one.

    Parameters
    ----------
    names, points
        All corners sorted by name, and x and y, m, shape ``(n, 2)``.
    usable
        Between which two a tape can be stretched, symmetric, shape ``(n, n)``.
    corners
        For each corner that can be squared off: the corners beside it, by name.
    """

    def __init__(
        self,
        names: Sequence[str],
        points: Floats,
        usable: NDArray[np.bool_],
        corners: dict[str, tuple[str, str]],
    ) -> None:
        self._names = tuple(names)
        self._at = {name: place for place, name in enumerate(names)}
        self._points = points
        self._usable = usable
        self._corners = corners
        step = points[None, :] - points[:, None]
        self._length = np.hypot(step[..., 0], step[..., 1])
        self._way = step / np.maximum(self._length, SAME_POINT)[..., None]
        self._stand: list[int] = []
        self._sine = np.full(len(names), -1.0)
        self._reach = np.full(len(names), np.inf)
        self._pair = np.zeros((len(names), 2), dtype=np.intp)

    def run(self, base: tuple[str, str], early: Collection[str]) -> tuple[CornerSetting, ...]:
        """Set one corner after the other.

        Parameters
        ----------
        base
            The two corners of the base line.
        early
            Corners to be set before the others: those of the large rectangle.

        Returns
        -------
        tuple of CornerSetting
            All corners: each time the one, of the early ones first, whose two tapes meet nearest
            to 90 degrees; of equal ones the first by name, from the nearest two stakes.
        """
        first, second = base
        length = float(self._length[self._at[first], self._at[second]])
        made = [
            CornerSetting(corner=first, method=SettingMethod.BASE_LINE, tapes=()),
            CornerSetting(corner=second, method=SettingMethod.BASE_LINE, tapes=((first, length),)),
        ]
        left = [place for place, name in enumerate(self._names) if name not in base]
        for name in base:
            self._add(self._at[name])
        while left:
            setting = self._next([p for p in left if self._names[p] in early]) or self._next(left)
            if setting is None:
                setting = self._other(left)
            made.append(setting)
            place = self._at[setting.corner]
            left.remove(place)
            if setting.method is not SettingMethod.OUT_OF_REACH:
                self._add(place)
        return tuple(made)

    def _add(self, place: int) -> None:
        # two tapes, one of them from the new stake: is any corner better fixed by them?
        stand = np.array(self._stand, dtype=np.intp)
        self._stand.append(place)
        if not len(stand):
            return
        way = self._way[:, place]
        others = self._way[:, stand]
        sine = np.abs(cross(way[:, None], others))
        usable = self._usable[:, place, None] & self._usable[:, stand]
        sine = np.where(usable, np.round(sine, ALIKE), -1.0)
        total = np.where(usable, self._length[:, place, None] + self._length[:, stand], np.inf)
        top = sine.max(axis=1)
        total = np.where(sine >= top[:, None], total, np.inf)
        pick = np.argmin(np.round(total, ALIKE), axis=1)
        reach = total[np.arange(len(total)), pick]
        better = (top > self._sine) | ((top == self._sine) & (reach < self._reach - SAME_POINT))
        self._sine = np.where(better, top, self._sine)
        self._reach = np.where(better, reach, self._reach)
        self._pair[better] = np.column_stack((stand[pick], np.full(len(pick), place)))[better]

    def _next(self, left: Sequence[int]) -> CornerSetting | None:
        if not left:
            return None
        sines = self._sine[list(left)]
        place = left[int(np.argmax(sines))]
        sine = float(sines.max())
        if sine < math.sin(FLAT_SWING) - 1e-9:
            found = self._in_line(place)
            if found is not None:
                return found
        if sine < HOPELESS:
            return None
        one, other = (int(p) for p in self._pair[place])
        base = self._points[other] - self._points[one]
        off = self._points[place] - self._points[one]
        there, back = self._way[place, one], self._way[place, other]
        return CornerSetting(
            corner=self._names[place],
            method=SettingMethod.TWO_TAPES,
            tapes=tuple((self._names[p], float(self._length[p, place])) for p in (one, other)),
            swing=math.acos(max(-1.0, min(1.0, float(there @ back)))),
            side=Hand.LEFT if cross(base, off) > 0 else Hand.RIGHT,
        )

    def _other(self, left: Sequence[int]) -> CornerSetting:
        for place in left:
            found = self._in_line(place) or self._squared(place)
            if found is not None:
                return found
        return CornerSetting(
            corner=self._names[left[0]], method=SettingMethod.OUT_OF_REACH, tapes=()
        )

    def _in_line(self, place: int) -> CornerSetting | None:
        # a stake that the tape reaches, with another in line with both, to sight along
        near = sorted(
            (p for p in self._stand if self._usable[place, p]),
            key=lambda p: (round(float(self._length[place, p]), ALIKE), p),
        )
        for one in near:
            for other in self._stand:
                if other == one:
                    continue
                run, way = self._way[one, other], self._points[place] - self._points[one]
                apart = float(self._length[one, other])
                off = abs(float(cross(run, way)))
                if off <= SAME_POINT and apart >= float(self._length[one, place]) / 4:
                    return CornerSetting(
                        corner=self._names[place],
                        method=SettingMethod.IN_LINE,
                        tapes=((self._names[one], float(self._length[one, place])),),
                        sight=self._names[other],
                    )
        return None

    def _squared(self, place: int) -> CornerSetting | None:
        name = self._names[place]
        for one in sorted(self._stand):
            beside = self._corners.get(self._names[one], ("", ""))
            if name not in beside:
                continue
            sight = beside[1] if beside[0] == name else beside[0]
            if self._at[sight] in self._stand:
                return CornerSetting(
                    corner=name,
                    method=SettingMethod.SQUARE,
                    tapes=((self._names[one], float(self._length[one, place])),),
                    sight=sight,
                )
        return None
