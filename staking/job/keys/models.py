"""The job file's sections as models: which keys there are, and what each takes.

A model checks its own keys first, so that an unknown one is told with the nearest known name and
is then read as if it had been spelled right: one misspelling, one fault.
"""

from __future__ import annotations

import difflib
import os
from collections.abc import Callable
from typing import Annotated, Any, ClassVar

# No plug-in has a part in reading a job file, and looking for some reads every package there is.
os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")

from pydantic import (
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    ValidationInfo,
    WithJsonSchema,
    model_validator,
)

from staking.errors import MeasureError
from staking.job.keys.fields import (
    Count,
    Flag,
    GridPoint,
    Length,
    LengthOrZero,
    Name,
    OnWall,
    PositiveLength,
    Pull,
    Ratio,
    Size,
    Temperature,
    Text,
    WallThickness,
    choice,
)
from staking.job.keys.other_words import key_meant
from staking.job.tree.faults import Faults
from staking.job.tree.source import Branch, Scalar
from staking.kinds import Casting


def key(
    description: str, *, default: Any = None, must: bool = False, alias: str | None = None
) -> Any:
    """Describe a key of a section: what it is, and what stands for it where it is left out.

    Parameters
    ----------
    description
        What it is, for editors.
    default
        What is read where it is left out.
    must
        Whether it must be given.
    alias
        Its name in the file, where Python keeps that word for itself.

    Returns
    -------
    FieldInfo
        To stand behind the field's annotation.
    """
    if must:
        return Field(alias=alias, description=description)
    return Field(default=default, alias=alias, description=description)


STANDS_AT = "§place"
"""Under this the place of a section is handed to its model; no key of the file is called so."""


LONGEST_KEY = 40
"""Of an unknown key so many letters are compared with those that are known."""

MISSPELLED = 0.8
"""A key this much like one of its section is that one misspelled, wherever else it may stand."""


class Section(BaseModel):
    """A mapping of the job file; `place` is where it stands and no key of the file."""

    model_config = ConfigDict(
        extra="ignore", arbitrary_types_allowed=True, frozen=True, defer_build=True
    )

    place: Any = Field(default=(), alias="§place")
    unused: ClassVar[frozenset[str]] = frozenset()
    """Keys that are known and not yet used."""
    together: ClassVar[bool] = False
    """Whether the keys that must be given are asked for in one breath."""

    @classmethod
    def keys(cls) -> list[str]:
        """Give the keys as the file spells them."""
        names = [field.alias or name for name, field in cls.model_fields.items() if name != "place"]
        return [*names, *sorted(cls.unused)]

    @classmethod
    def example(cls) -> str:
        """Say what to write where no keys stand."""
        return f"{cls.keys()[0]}: and so on"

    @classmethod
    def due(cls) -> list[str]:
        """Give the keys that must be given."""
        return [
            field.alias or name for name, field in cls.model_fields.items() if field.is_required()
        ]

    @model_validator(mode="before")
    @classmethod
    def _check_keys(cls, value: Any, info: ValidationInfo) -> Any:
        if isinstance(value, dict) and not isinstance(value, Branch):
            return value
        if not isinstance(value, Branch):
            if isinstance(value, Scalar) and value.is_empty:
                raise MeasureError("nothing is given", "write its keys, or take the line out")
            what = value.text if isinstance(value, Scalar) else "a list"
            raise MeasureError(f"{what} stands here where keys are due", f"write {cls.example()}")
        context = info.context or {}
        branch = respell(value, cls.keys(), context.get("faults"), context.get("home"))
        missing = [key for key in cls.due() if key not in branch] if cls.together else []
        if missing:
            raise MeasureError(
                f"{' and '.join(missing)} {'is' if len(missing) == 1 else 'are'} missing",
                f"give {', '.join(cls.due())}",
            )
        return {**branch, STANDS_AT: value.place}


def respell(
    branch: Branch,
    known: list[str],
    faults: Faults | None,
    home: Callable[[str], str | None] | None = None,
) -> Branch:
    """Note keys that are not known, and read each as the nearest one that is free.

    Parameters
    ----------
    branch
        The section as it stands in the file.
    known
        The keys that it has.
    faults
        Where faults are noted.
    home
        Says where else in the file a key stands; such a one is not read as another.

    Returns
    -------
    Branch
        The same section with known keys alone.
    """
    for key in [key for key in branch if key not in known]:
        near, stands = _meant(key, known, faults, home)
        if stands is not None:
            remedy = f"{key} stands {stands}; move it there"
        elif near is not None:
            remedy = f"write {near}"
        else:
            remedy = f"the keys here are {', '.join(known)}"
        if faults is not None:
            faults.add((*branch.place, key), "no such key", remedy)
        if near is not None and near not in branch:
            branch.rename(key, near)
        else:
            del branch[key]
    return branch


def _meant(
    key: str, known: list[str], faults: Faults | None, home: Callable[[str], str | None] | None
) -> tuple[str | None, str | None]:
    # the known key that is meant, or where else the key stands
    key = key[:LONGEST_KEY]
    meant = key_meant(key, known)
    # Such a file is not misspelled; looking for near names would take minutes.
    looked = meant is None and not (faults is not None and faults.is_full)
    near = difflib.get_close_matches(key, known, n=1, cutoff=MISSPELLED) if looked else []
    if meant is not None or near:
        return meant or near[0], None
    stands = home(key) if home is not None else None
    near = difflib.get_close_matches(key, known, n=1) if looked and stands is None else []
    return (near[0] if near else None), stands


class FootingKeys(Section):
    """The footing under a wall; what is not given is inherited."""

    width: PositiveLength | None = key("across")
    thickness: PositiveLength | None = key("up")
    outside: LengthOrZero | None = key(
        "how far it reaches past the outside face of the wall; centred by default"
    )


class ExistingKeys(Section):
    """What is known of the building that stands along a side."""

    footing_bottom: Length | None = key("elevation of the bottom of the standing footing")
    footing_out: LengthOrZero | None = key("how far that footing reaches out toward ours")
    top: Length | None = key("elevation of the top of the standing wall")


def _existing(value: Any) -> Any:
    """Turn ``yes`` into an existing side of which nothing is known, and ``no`` into none."""
    if isinstance(value, Scalar) and value.text.lower() in {"yes", "true"}:
        return {}
    if isinstance(value, Scalar) and value.text.lower() in {"no", "false"}:
        return None
    if isinstance(value, Scalar) and not value.is_empty:
        raise MeasureError(
            f"{value.text} does not say what stands there",
            "write yes, or {footing_bottom: 96', footing_out: 6\", top: 103'}",
        )
    return value


_EXISTING_SCHEMA = WithJsonSchema({
    "anyOf": [{"$ref": "#/$defs/ExistingKeys"}, {"enum": [True, False, "yes", "no"]}]
})


class WallKeys(Section):
    """What differs along one wall."""

    wall: WallThickness | None = key("thickness")
    footing: FootingKeys | None = key("what differs of its footing, key by key")
    top_of_wall: Length | None = key("this wall's own top, an elevation")
    existing: Annotated[ExistingKeys | None, BeforeValidator(_existing), _EXISTING_SCHEMA] = key(
        "yes, or what is known: a side against a standing building"
    )


class OpeningKeys(Section):
    """A door opening."""

    wall: Text = key("the wall or interior line", must=True)
    from_: LengthOrZero = key(
        "where it starts, from the end that the wall's name begins with", must=True, alias="from"
    )
    width: PositiveLength = key("how wide", must=True)
    drop: PositiveLength = key("how far the wall is dropped; the footing runs on", must=True)


class InteriorKeys(Section):
    """A wall or bearing line inside."""

    name: Name = key("its name", must=True)
    from_: OnWall = key("where its centre line starts, such as A-B at 14'", must=True, alias="from")
    to: OnWall = key("where its centre line ends, such as C-D at 10'", must=True)
    wall: WallThickness | None = key("thickness; of a bearing line as of a wall")
    footing: FootingKeys | None = key("width and thickness of its footing, centred")


class PadKeys(Section):
    """One pad, or a row of them."""

    name: Name = key("the pad's name; in a row Q the pads are Q1, Q2 and so on", must=True)
    at: GridPoint | None = key("its centre [x, y]")
    from_: GridPoint | None = key("the first pad's centre in a row", alias="from")
    to: GridPoint | None = key("the last pad's centre in a row")
    count: Count | None = key("how many pads stand in the row")
    size: Size | None = key("[width, depth] of a square one")
    diameter: PositiveLength | None = key("of a round one")
    thickness: PositiveLength = key("how thick", must=True)
    along: Text | None = key(
        "the wall or interior line that its width runs along; the grid's x by default"
    )


class SleeveKeys(Section):
    """A pipe through a wall."""

    wall: Text = key("the wall or interior line", must=True)
    at: LengthOrZero = key("where, from the end that the wall's name begins with", must=True)
    invert: Length | None = key("elevation of the bottom inside the pipe")
    size: PositiveLength = key("the pipe", must=True)


class SlabKeys(Section):
    """The floor slab."""

    top: Length | None = key("its top, an elevation")
    thickness: PositiveLength = key("the slab", must=True)
    base: LengthOrZero = key("the stone under it", default=0.0)


class PartKeys(Section):
    """What stands in a building, or once beside a list of them."""

    wall: WallThickness | None = key("the wall's thickness")
    footing: FootingKeys | None = key("width, thickness and projection of the footing")
    walls: dict[str, WallKeys] = key("what differs along single walls", default={})
    openings: list[OpeningKeys] = key("door openings", default=[])
    interior: list[InteriorKeys] = key("walls and bearing lines inside", default=[])
    pads: list[PadKeys] = key("isolated footings", default=[])
    sleeves: list[SleeveKeys] = key("pipes through walls", default=[])
    slab: SlabKeys | None = key("the floor slab")


class BuildingKeys(PartKeys):
    """One outline and what belongs to it."""

    name: Name | None = key("the building's name")
    at: GridPoint | None = key("[x, y] by which the whole outline is shifted on the grid")
    corners: dict[str, GridPoint] | None = key(
        "names with their points, in order round the building"
    )
    rectangle: Text | None = key("corners anticlockwise from 0, 0, such as 36' x 24'")
    sides: list[Text] | None = key(
        "walked from 0, 0 and closed, such as [east 36', north 24', west 36', south 24']"
    )


class BoardKeys(Section):
    """Where batter boards may stand."""

    stand_off: PositiveLength | None = key(
        "how far past the last corner on its line a board stands"
    )
    clearance: LengthOrZero | None = key("the least distance from everything dug")
    inside_boards: Flag | None = key("whether a board may stand inside the building")
    at: Length | None = key("the elevation of the boards")
    max_height: PositiveLength | None = key("the highest that a board may stand")


class DigKeys(Section):
    """How the trench is dug."""

    overdig: LengthOrZero | None = key("dug beyond the footing on each side")
    bucket: LengthOrZero | None = key("the least width that is dug")
    bank: Ratio | None = key("horizontal run of the bank for each 1 of depth")
    depth: LengthOrZero | None = key("how deep")
    base: LengthOrZero | None = key("stone under the footing")
    cast: choice(*Casting) | None = key(  # type: ignore[valid-type]
        "whether the footing is cast against earth or in forms"
    )


class StandardKeys(Section):
    """The temperature and tension at which the tape is right."""

    temperature: Temperature | None = key("the temperature at which the tape is right")
    tension: Pull | None = key("the pull at which the tape is right")


class TapeKeys(Section):
    """The tape."""

    length: PositiveLength | None = key("the tape's length")
    error: PositiveLength | None = key("one standard error of a reading")
    class_: choice("I", "II", "III") | None = key(  # type: ignore[valid-type]
        "class of the tape, in place of its error", alias="class"
    )
    temperature: Temperature | None = key("of the work, such as 85 F")
    tension: Pull | None = key("the pull, such as 20 lbf")
    standard: StandardKeys | None = key("temperature and tension at which the tape is right")


PRESETS = ("small building", "ISO 4463-1 position points")
"""The named tolerances; their values stand in `staking.layout.allowed`."""


class ToleranceKeys(Section):
    """What the layout may be out by."""

    preset: choice(*PRESETS) | None = key("a named set of tolerances")  # type: ignore[valid-type]
    side: PositiveLength | None = key("what a side may be out by")
    diagonal_per_100ft: PositiveLength | None = key(
        "what a diagonal may be out by in 100 ft, in proportion"
    )
    stake: PositiveLength | None = key("what a stake may be out by")


class HeadKeys(Section):
    """What the job is called and how its lengths are read and shown."""

    job: Text | None = key("the job's name")
    units: choice("ft", "us-ft", "in", "m", "mm") | None = key("what a bare number is in")  # type: ignore[valid-type]
    show: (
        choice(  # type: ignore[valid-type]
            "feet-inches", "decimal-feet", "metres", "millimetres"
        )
        | None
    ) = key("how lengths are written")
    nearest: PositiveLength | None = key("what feet and inches are rounded to")
    paper: choice("letter", "tabloid", "A4", "A3") | None = key("the sheets that are printed")  # type: ignore[valid-type]
