"""The job file's sections as models: which keys there are, and what each takes.

A model checks its own keys first, so that an unknown one is told with the nearest known name and
is then read as if it had been spelled right: one misspelling, one fault.
"""

from __future__ import annotations

import difflib
import os
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
from staking.job.faults import Faults
from staking.job.fields import (
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
from staking.job.source import Branch, Scalar

STANDS_AT = "§place"
"""Under this the place of a section is handed to its model; no key of the file is called so."""


LONGEST_KEY = 40
"""Of an unknown key so many letters are compared with those that are known."""


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
        branch = respell(value, cls.keys(), (info.context or {}).get("faults"))
        missing = [key for key in cls.due() if key not in branch] if cls.together else []
        if missing:
            raise MeasureError(
                f"{' and '.join(missing)} {'is' if len(missing) == 1 else 'are'} missing",
                f"give {', '.join(cls.due())}",
            )
        return {**branch, STANDS_AT: value.place}


def respell(branch: Branch, known: list[str], faults: Faults | None) -> Branch:
    """Note keys that are not known, and read each as the nearest one that is free."""
    for key in [key for key in branch if key not in known]:
        if faults is not None and faults.is_full:
            # Such a file is not misspelled; looking for near names would take minutes.
            near = []
        else:
            near = difflib.get_close_matches(key[:LONGEST_KEY], known, n=1, cutoff=0.6)
        remedy = f"write {near[0]}" if near else f"the keys here are {', '.join(known)}"
        if faults is not None:
            faults.add((*branch.place, key), "no such key", remedy)
        if near and near[0] not in branch:
            branch.rename(key, near[0])
        else:
            del branch[key]
    return branch


class FootingKeys(Section):
    """The footing under a wall; what is not given is inherited."""

    width: PositiveLength | None = None
    thickness: PositiveLength | None = None
    outside: LengthOrZero | None = None


class ExistingKeys(Section):
    """What is known of the building that stands along a side."""

    footing_bottom: Length | None = None
    footing_out: LengthOrZero | None = None
    top: Length | None = None


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

    wall: WallThickness | None = None
    footing: FootingKeys | None = None
    top_of_wall: Length | None = None
    existing: Annotated[ExistingKeys | None, BeforeValidator(_existing), _EXISTING_SCHEMA] = None


class OpeningKeys(Section):
    """A door opening."""

    wall: Text
    from_: LengthOrZero = Field(alias="from")
    width: PositiveLength
    drop: PositiveLength


class InteriorKeys(Section):
    """A wall or bearing line inside."""

    name: Name
    from_: OnWall = Field(alias="from")
    to: OnWall
    wall: WallThickness | None = None
    footing: FootingKeys | None = None


class PadKeys(Section):
    """One pad, or a row of them."""

    name: Name
    at: GridPoint | None = None
    from_: GridPoint | None = Field(alias="from", default=None)
    to: GridPoint | None = None
    count: Count | None = None
    size: Size | None = None
    diameter: PositiveLength | None = None
    thickness: PositiveLength
    along: Text | None = None


class SleeveKeys(Section):
    """A pipe through a wall."""

    wall: Text
    at: LengthOrZero
    invert: Length | None = None
    size: PositiveLength


class SlabKeys(Section):
    """The floor slab."""

    top: Length | None = None
    thickness: PositiveLength
    base: LengthOrZero = 0.0


class PartKeys(Section):
    """What stands in a building, or once beside a list of them."""

    wall: WallThickness | None = None
    footing: FootingKeys | None = None
    walls: dict[str, WallKeys] = {}
    openings: list[OpeningKeys] = []
    interior: list[InteriorKeys] = []
    pads: list[PadKeys] = []
    sleeves: list[SleeveKeys] = []
    slab: SlabKeys | None = None


class BuildingKeys(PartKeys):
    """One outline and what belongs to it."""

    name: Name | None = None
    at: GridPoint | None = None
    corners: dict[str, GridPoint] | None = None
    rectangle: Text | None = None
    sides: list[Text] | None = None


class BoardKeys(Section):
    """Where batter boards may stand."""

    stand_off: PositiveLength | None = None
    clearance: LengthOrZero | None = None
    inside_boards: Flag | None = None
    at: Length | None = None
    max_height: PositiveLength | None = None


class DigKeys(Section):
    """How the trench is dug."""

    overdig: LengthOrZero | None = None
    bucket: LengthOrZero | None = None
    bank: Ratio | None = None
    depth: LengthOrZero | None = None
    base: LengthOrZero | None = None
    cast: choice("earth", "forms") | None = None  # type: ignore[valid-type]


class StandardKeys(Section):
    """The temperature and tension at which the tape is right."""

    temperature: Temperature | None = None
    tension: Pull | None = None


class TapeKeys(Section):
    """The tape."""

    length: PositiveLength | None = None
    error: PositiveLength | None = None
    class_: choice("I", "II", "III") | None = Field(  # type: ignore[valid-type]
        alias="class", default=None
    )
    temperature: Temperature | None = None
    tension: Pull | None = None
    standard: StandardKeys | None = None


PRESETS = ("small building", "ISO 4463-1 position points")
"""The named tolerances; their values stand in `staking.layout.allowed`."""


class ToleranceKeys(Section):
    """What the layout may be out by."""

    preset: choice(*PRESETS) | None = None  # type: ignore[valid-type]
    side: PositiveLength | None = None
    diagonal_per_100ft: PositiveLength | None = None
    stake: PositiveLength | None = None


class HeadKeys(Section):
    """What the job is called and how its lengths are read and shown."""

    job: Text | None = None
    units: choice("ft", "us-ft", "in", "m", "mm") | None = None  # type: ignore[valid-type]
    show: (
        choice(  # type: ignore[valid-type]
            "feet-inches", "decimal-feet", "metres", "millimetres"
        )
        | None
    ) = None
    nearest: PositiveLength | None = None
    paper: choice("letter", "tabloid", "A4", "A3") | None = None  # type: ignore[valid-type]
