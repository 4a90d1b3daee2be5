"""How the building is placed on its lot: one of four ways, told by the keys that are there."""

from __future__ import annotations

import re
from typing import Any

from staking.errors import MeasureError
from staking.job.fields import length_of, one_of
from staking.job.models import respell
from staking.job.nodes import NodeReader, own_text, read_bearing
from staking.job.source import Branch, Scalar
from staking.measure.lengths import format_length
from staking.site.site_request import (
    Place,
    PlaceAlong,
    PlaceByBearing,
    PlaceByFit,
    PlaceByTape,
    TapedCorner,
)

_FIRST = {
    "corner": ("corner", "wall", "north", "east", "bearing"),
    "along": ("wall", "along", "from_first", "offset"),
    "fit": ("fit",),
    "tape": ("tape", "side"),
}


class PlaceReader(NodeReader):
    """Reads ``place`` of the site section."""

    def read_place(self, walls: tuple[str, ...], corners: tuple[str, ...]) -> Place | None:
        """Read how the building is placed.

        Parameters
        ----------
        walls, corners
            The names that the building has.

        Returns
        -------
        Place or None
            None where it is left out or faulty.
        """
        node = self.branch.get("place")
        if node is None:
            return None
        if not isinstance(node, Branch):
            self.fault(("place",), "keys are due here",
                        "write corner, north, east and bearing, or along, fit or tape")  # fmt: skip
            return None
        way = next((way for way in ("fit", "tape", "along") if way in node), "corner")
        keys = _FIRST[way]
        respell(node, list(keys), self.faults)
        optional = {"corner": {"wall"}, "along": {"from_first", "offset"}}.get(way, set())
        if not self.due(("place",), node, tuple(key for key in keys if key not in optional)):
            return None
        if way == "corner":
            return self._by_bearing(node, walls, corners)
        if way == "along":
            return self._along(node, walls)
        if way == "fit":
            return self._fit(node, corners)
        return self._tape(node, corners)

    def _wall(self, node: Branch, walls: tuple[str, ...]) -> str | None:
        name = self.attempt(("place", "wall"), own_text, node.get("wall"))
        if name is None:
            return walls[0] if walls and "wall" not in node else None
        known = {*walls, *("-".join(reversed(wall.split("-"))) for wall in walls)}
        if walls and name not in known:
            self.fault(("place", "wall"), f"{name} is no wall of the building",
                        f"write one of {', '.join(walls)}")  # fmt: skip
            return None
        return name

    def _corner(
        self, place: tuple[str | int, ...], name: str | None, corners: tuple[str, ...]
    ) -> bool:
        if name is None or (corners and name not in corners):
            if name is not None:
                self.fault(place, f"{name} is no corner of the building",
                            f"write one of {', '.join(corners)}")  # fmt: skip
            return False
        return True

    def _by_bearing(
        self, node: Branch, walls: tuple[str, ...], corners: tuple[str, ...]
    ) -> PlaceByBearing | None:
        corner = self.attempt(("place", "corner"), own_text, node["corner"])
        wall = self._wall(node, walls)
        north = self.attempt(("place", "north"), self.coordinate, node["north"])
        east = self.attempt(("place", "east"), self.coordinate, node["east"])
        azimuth = self.attempt(("place", "bearing"), read_bearing, node["bearing"])
        if not self._corner(("place", "corner"), corner, corners):
            return None
        if corner is None or wall is None or north is None or east is None or azimuth is None:
            return None
        return PlaceByBearing(
            corner=corner, wall=wall, northing=north, easting=east, azimuth=azimuth
        )

    def _along(self, node: Branch, walls: tuple[str, ...]) -> PlaceAlong | None:
        wall = self._wall(node, walls)
        along = self.names(("place", "along"), node["along"], 2)
        from_first = self.attempt(("place", "from_first"), self.length, node.get("from_first"))
        offset = self.attempt(("place", "offset"), self._offset, node.get("offset"))
        if wall is None or len(along) != 2:
            return None
        return PlaceAlong(
            wall=wall,
            along=(along[0], along[1]),
            from_first=from_first or 0.0,
            offset=offset or 0.0,
        )

    def _offset(self, node: Any) -> float:
        text = own_text(node)
        match = re.fullmatch(r"(left|right)\s+(.+)", text.strip(), re.IGNORECASE)
        if match is None:
            raise MeasureError(f"{text} has no side", "write right 20' or left 20'")
        metres = length_of(Scalar(match[2], node.line), self.unit)
        if metres < 0.0:
            raise MeasureError(f"{text} is less than zero", "write the other side instead")
        return metres if match[1].lower() == "right" else -metres

    def _fit(self, node: Branch, corners: tuple[str, ...]) -> PlaceByFit | None:
        fit = node["fit"]
        if not isinstance(fit, Branch) or len(fit) < 2:
            self.fault(("place", "fit"), "two corners or more with their stakes are due here",
                        "write {A: 201, B: 202}")  # fmt: skip
            return None
        pairs = []
        for corner, point in fit.items():
            name = self.attempt(("place", "fit", corner), own_text, point)
            if self._corner(("place", "fit", corner), corner, corners) and name is not None:
                pairs.append((corner, name))
        return PlaceByFit(pairs=tuple(pairs)) if len(pairs) == len(fit) else None

    def _tape(self, node: Branch, corners: tuple[str, ...]) -> PlaceByTape | None:
        tape = node["tape"]
        side = self.attempt(
            ("place", "side"), lambda value: one_of(value, "left", "right"), node["side"]
        )
        if not isinstance(tape, Branch) or len(tape) != 2:
            self.fault(("place", "tape"), "two corners with two tapes each are due here",
                        "write {A: {101: 20', 102: 31' 6\"}, B: {101: …, 102: …}}")  # fmt: skip
            return None
        found = []
        for corner, ties in tape.items():
            here = ("place", "tape", corner)
            if not self._corner(here, corner, corners):
                continue
            if not isinstance(ties, Branch) or len(ties) != 2:
                self.fault(here, "two points with their distances are due here",
                            "write {101: 20', 102: 31' 6\"}")  # fmt: skip
                continue
            read = [(point, self.attempt((*here, point), self._distance, value))
                    for point, value in ties.items()]  # fmt: skip
            whole = [(point, distance) for point, distance in read if distance is not None]
            if len(whole) == 2:
                found.append(TapedCorner(corner=corner, ties=(whole[0], whole[1])))
        if len(found) != 2 or side is None:
            return None
        return PlaceByTape(corners=(found[0], found[1]), side=side)

    def _distance(self, node: Any) -> float:
        metres = self.length(node)
        if metres <= 0.0:
            raise MeasureError(
                f"{node.text} is no distance", f"write one over {format_length(0.0)}"
            )
        return metres


def _side(node: Any) -> str:
    return one_of(node, "left", "right")
