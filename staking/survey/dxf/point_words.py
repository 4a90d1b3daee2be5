"""The names, elevations and descriptions of a drawing's points, from attributes and labels."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence

from staking.errors import InputError, Problem
from staking.frozen import frozen
from staking.notices import Length, Notice, Severity, notice
from staking.survey.delimited.heading import understand
from staking.survey.dxf.drawn_texts import DrawnText
from staking.survey.dxf.entities import Drawn, DrawnBlock, Xyz
from staking.survey.dxf.label_roles import LabelRole, Said, layers_of, roles_of, said_at, told_roles
from staking.survey.dxf.labels import REACH, Labels, Place, find_labels, key
from staking.survey.dxf.written_levels import written_level
from staking.survey.name_list import listed
from staking.survey.unit_words import IN_WORDS
from staking.survey.xml_faults import shown
from staking.units import Unit

_ROLES = ("point", "elevation", "description")
_PASSED = "-"
_FEW = 3
"""So many blocks alike, of which no attribute is read, are worth a word: a title block is one
(common practice, no source)."""


@frozen(kw_only=False)
class DrawnPoint:
    """A point of the drawing; its name is empty where nothing gives one."""

    name: str
    at: Xyz
    description: str


@frozen
class NamedPoints:
    """The points of a drawing.

    Parameters
    ----------
    points
        In the drawing's own x, y, z; a z that is not known is not-a-number.
    notices
        How they were named.
    has_levels
        Whether an attribute or a label gives a height, so that a z of 0 is one.
    passed
        How many block references and texts say nothing of a point.
    """

    points: tuple[DrawnPoint, ...]
    notices: tuple[Notice, ...]
    has_levels: bool
    passed: Counter[str]


def named_points(drawn: Drawn, unit: Unit, columns: Sequence[str] | None, path: str) -> NamedPoints:
    """Name the points of a drawing.

    Parameters
    ----------
    drawn
        What it holds.
    unit
        What it is drawn in.
    columns
        What the user says that its attributes and layers of labels are, in the order in which they
        are listed; None for what they say of themselves, and so are columns that name places.
    path
        The drawing, for messages.

    Returns
    -------
    NamedPoints
        Block references whose attributes tell of a point, then the POINT entities that stand under
        none of them.

    Raises
    ------
    InputError
        Where more columns are named than there are.
    """
    tags = _tags(drawn.blocks)
    told = _told(columns)
    tag_roles = _tag_roles(tags, told)
    shots = [(block, _of_block(block, tag_roles, is_told=told is not None))
             for block in drawn.blocks]  # fmt: skip
    taken = [(block, said) for block, said in shots if said is not None]
    under = {key(*block.at[:2]) for block, _ in taken}
    marks = [at for at in drawn.marks if key(*at[:2]) not in under]
    bare = [*(block.at for block, said in taken if not said.name), *marks]
    labels = find_labels(drawn.texts, list(dict.fromkeys(key(*at[:2]) for at in bare)))
    layers = layers_of(labels.at)
    if told is not None and len(told) > len(tags) + len(layers):
        raise InputError(_too_many(told, tags, layers, path))
    roles, rivals = roles_of(labels.at)
    if told is not None:
        words = [*told[len(tags) :], *[_PASSED] * len(layers)]
        roles, rivals = told_roles(labels.at, dict(zip(layers, words, strict=False))), ()
    beside = {place: said_at(texts, roles, place) for place, texts in labels.at.items()}
    heights = _Heights(unit)
    points = []
    for block, said in taken:
        more = Said() if said.name else beside.get(key(*block.at[:2]), Said())
        level = said.level if said.level is not None else more.level
        name, words_of = said.name or more.name, said.description or more.description
        points.append(DrawnPoint(name, heights.settle(block.at, level, name), words_of))
    for at in marks:
        more = beside.get(key(*at[:2]), Said())
        points.append(
            DrawnPoint(more.name, heights.settle(at, more.level, more.name), more.description)
        )
    if heights.are_written:
        points = heights.without_flat(points, marks_from=len(taken))
    said_of = [
        *_column_notices(tags, tag_roles, layers, roles, told, columns),
        *_unread_notices(drawn.blocks, taken, told),
        *_label_notices(labels, beside, roles, rivals, len(tags), unit),
        *heights.notices(),
    ]
    passed = Counter({"INSERT": len(shots) - len(taken), "TEXT": labels.left})
    return NamedPoints(
        points=tuple(points), notices=tuple(said_of), has_levels=heights.are_written, passed=+passed
    )


# --- attributes ---------------------------------------------------------------------------------


def _tags(blocks: Sequence[DrawnBlock]) -> tuple[str, ...]:
    """Return the attributes' names, the most frequent first, then in the drawing's order."""
    counts = Counter(tag for block in blocks for tag in block.attributes)
    return tuple(tag for tag, _ in counts.most_common())


def _told(columns: Sequence[str] | None) -> tuple[str, ...] | None:
    """Return the columns that are named for a drawing; None for those of a text file's places."""
    if columns is None or not {*columns} <= {*_ROLES, _PASSED}:
        return None
    named = list(columns)
    while named and named[-1] == _PASSED:
        named.pop()
    return tuple(named)


def _tag_roles(tags: Sequence[str], told: Sequence[str] | None) -> dict[str, str]:
    if told is not None:
        return dict(zip(tags, [*told, *[_PASSED] * len(tags)], strict=False))
    roles = {tag: understand(tag).role for tag in tags}
    return {tag: role if role in _ROLES else _PASSED for tag, role in roles.items()}


def _of_block(block: DrawnBlock, roles: dict[str, str], *, is_told: bool) -> Said | None:
    """Read the attributes of a block reference; None for one that is not a point: a title block."""
    found: dict[str, str] = {}
    for tag, value in block.attributes.items():
        role = roles[tag]
        if role != _PASSED and role not in found:
            found[role] = value.strip()
    name = found.get("point", "")
    only = next(iter(block.attributes.values())).strip() if len(block.attributes) == 1 else ""
    if not is_told and not name and only:
        # The one thing a mark says is its name, or its height where it calls it that.
        is_height = "elevation" in found and written_level(only) is not None
        name = "" if is_height else only
        if not is_height:
            found.pop("elevation", None)
    elif not name and not (is_told and any(found.values())):
        return None
    if not name and not any(found.values()):
        return None
    return Said(name=name, description=found.get("description", ""), level=found.get("elevation"))


def unread_attributes(blocks: Sequence[DrawnBlock], path: str) -> Problem:
    """Return the fault of a drawing that holds nothing but blocks with attributes not read.

    Parameters
    ----------
    blocks
        Its block references.
    path
        The drawing.

    Returns
    -------
    Problem
        With the attributes in their order.
    """
    return Problem(
        path=path,
        message="no attribute of the drawing's blocks is read as a point's name; it has, in this "
        f"order, {listed([shown(tag) for tag in _tags(blocks)])}",
        remedy="where they are points, name these, as in --columns point,elevation (columns: under "
        "site:), and - for one to pass over",
    )


# --- heights ------------------------------------------------------------------------------------


class _Heights:
    """Settles the height of each point: as drawn, else as written."""

    def __init__(self, unit: Unit) -> None:
        self._unit = unit
        self.are_written = False
        self._unitless: list[str] = []
        self._unread: list[str] = []
        self._apart: list[tuple[str, float]] = []

    def settle(self, at: Xyz, written: str | None, name: str) -> Xyz:
        """Return the place with its height; not-a-number where the words leave it out."""
        x, y, z = at
        if written is None:
            return at
        level = written_level(written)
        if level is None:
            if written:
                self._unread.append(name or shown(written))
            return (x, y, math.nan) if z == 0.0 else at
        value = level.in_drawing(self._unit)
        if value is None:
            if z == 0.0:
                self._unitless.append(name or shown(written))
                return x, y, math.nan
            return at
        if z == 0.0:
            self.are_written = True
            return x, y, value
        step = 0.5 * 10.0**-level.decimals * (level.unit or self._unit).metres / self._unit.metres
        if abs(z - value) > step * 1.001 + 1e-9:
            self._apart.append((name or shown(written), abs(z - value) * self._unit.metres))
        return at

    @staticmethod
    def without_flat(points: list[DrawnPoint], marks_from: int) -> list[DrawnPoint]:
        """Take the heights of 0 off the POINT entities where heights are written and not drawn."""
        return [
            point
            if index < marks_from or point.at[2] != 0.0
            else DrawnPoint(point.name, (*point.at[:2], math.nan), point.description)
            for index, point in enumerate(points)
        ]

    def notices(self) -> list[Notice]:
        """Say which heights contradict what is written, and which could not be read."""
        said = []
        if self._apart:
            said.append(
                notice(
                    "height-differs",
                    "at {names} the height drawn is another than the one written there, by up to "
                    "{most}; the height drawn is read",
                    names=listed([name for name, _ in self._apart]),
                    most=Length(max(apart for _, apart in self._apart)),
                )
            )
        if self._unitless:
            said.append(
                notice(
                    "levels-without-unit",
                    "at {names} the elevations written are numbers with decimals and no unit, in a "
                    "drawing in {unit}, and are not read; write their unit behind them, or export "
                    "the points in that unit",
                    names=listed(self._unitless),
                    unit=IN_WORDS[self._unit],
                )
            )
        if self._unread:
            said.append(
                notice(
                    "levels-unread",
                    "at {names} what is written as elevation is not a number, and is not read",
                    names=listed(self._unread),
                )
            )
        return said


# --- what is said of it -------------------------------------------------------------------------


def _too_many(
    told: Sequence[str], tags: Sequence[str], layers: Sequence[str], path: str
) -> Problem:
    there = [f"attribute {shown(tag)}" for tag in tags]
    there += [f"labels on layer {shown(layer)}" for layer in layers]
    has = f"has {len(there)}: {listed(there)}" if there else "has neither attributes nor labels"
    return Problem(
        path=path,
        field="columns",
        message=f"{len(told)} columns are named, and the drawing {has}",
        remedy="name those in this order, and - for one to pass over"
        if there
        else "leave the columns out",
    )


def _column_notices(
    tags: Sequence[str],
    tag_roles: dict[str, str],
    layers: Sequence[str],
    roles: dict[str, LabelRole],
    told: Sequence[str] | None,
    columns: Sequence[str] | None,
) -> list[Notice]:
    """List the attributes and the layers of labels in their order, with what each is read as."""
    said = []
    if columns is not None and told is None:
        said.append(
            notice(
                "columns-of-places",
                "the columns named have northing and easting among them; a drawing has its points "
                "where they are drawn, so the columns named are not used for it",
                severity=Severity.NOTE,
            )
        )
    there = [f"attribute {shown(tag)} ({tag_roles[tag]})" for tag in tags]
    there += [f"labels on layer {shown(layer)} ({roles[layer].value})" for layer in layers]
    if there:
        text = "what --columns takes here, in this order, and how it is read: {columns}"
        said.append(
            notice("drawing-columns", text, severity=Severity.NOTE, columns=listed(there, most=20))
        )
    return said


def _unread_notices(
    blocks: Sequence[DrawnBlock],
    taken: Sequence[tuple[DrawnBlock, Said]],
    told: Sequence[str] | None,
) -> list[Notice]:
    """Say which blocks, found many times, have attributes of which none is read."""
    used = {id(block) for block, _ in taken}
    left = Counter(block.name for block in blocks if id(block) not in used)
    many = [name for name, count in left.items() if count >= _FEW]
    if told is not None or not many:
        return []
    tags = dict.fromkeys(tag for block in blocks if block.name in many for tag in block.attributes)
    return [
        notice(
            "attributes-unread",
            "{count} blocks {names} have the attributes {tags}, none of which is read as a point's "
            "name; where they are points, name the attributes in the order listed, as in --columns "
            "point,elevation (columns: under site:), and - for one to pass over",
            count=sum(left[name] for name in many),
            names=listed([shown(name) for name in many]),
            tags=listed([shown(tag) for tag in tags]),
        )
    ]


def _names_untold(roles: dict[str, LabelRole], rivals: Sequence[str], before: int) -> Notice:
    """Say that the labels of several layers may be the names, and how to choose one."""
    layers = [*roles]
    words = [_PASSED] * before + [
        "point" if layer == rivals[0] else "description" if layer in rivals else _PASSED
        for layer in layers
    ]
    return notice(
        "label-names-untold",
        "nothing tells which of the labels on layers {layers} are the points' names, so "
        "they are read as descriptions; name them in the order listed, as in --columns "
        "{words} (columns: under site:)",
        layers=" and ".join(shown(layer) for layer in rivals),
        words=",".join(words),
    )


def _label_notices(
    labels: Labels,
    beside: dict[Place, Said],
    roles: dict[str, LabelRole],
    rivals: Sequence[str],
    before: int,
    unit: Unit,
) -> list[Notice]:
    """Say how labels were found, and which were left unread for doubt."""
    said = []
    letters = [text.letter for place, texts in labels.at.items() for text in texts
               if place not in {key(*each) for each in text.places}]  # fmt: skip
    if letters:
        said.append(
            notice(
                "labels-beside",
                "{count} texts are taken for labels of the points beside them, each of the nearest "
                "one, no farther off than {times} times the height of its letters, {reach}",
                severity=Severity.NOTE,
                count=len(letters),
                reach=Length(REACH * max(letters) * unit.metres),
                times=f"{REACH:g}",
            )
        )
    if rivals:
        said.append(_names_untold(roles, rivals, before))
    if labels.between:
        said.append(
            notice(
                "labels-between-points",
                "a label stands nearly as near to another point as to one, and is not read: "
                "{labels}"
                if len(labels.between) == 1
                else "{count} labels stand nearly as near to another point as to one, and are not "
                "read: {labels}",
                count=len(labels.between),
                labels=_with_places(labels.between),
            )
        )
    doubtful = {place: each.doubtful for place, each in beside.items() if each.doubtful}
    if doubtful:
        there = [
            f"{' and '.join(shown(word) for word in words)} at x {x:.10g}, y {y:.10g}"
            for (x, y), words in doubtful.items()
        ]
        said.append(
            notice(
                "labels-of-one-point",
                "several labels of one point may be the same thing, and none of these is read: "
                "{labels}"
                if len(there) == 1
                else "{count} points have several labels that may be the same thing, and none of "
                "these is read: {labels}",
                count=len(there),
                labels=listed(there),
            )
        )
    return said


def _with_places(texts: Sequence[DrawnText]) -> str:
    return listed([
        f"{shown(' '.join(text.lines))} at x {text.places[0][0]:.10g}, y {text.places[0][1]:.10g}"
        for text in texts
    ])
