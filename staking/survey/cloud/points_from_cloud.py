"""A laser point cloud (LAS 1.2 to 1.4, LAZ) as surveyed ground."""

from __future__ import annotations

import math
from typing import BinaryIO

import numpy as np
import numpy.typing as npt

from staking.errors import InputError
from staking.ground_scan import ClassCount, GroundScan, Window
from staking.kinds import ScanKind
from staking.notices import Notice, Severity, notice
from staking.points import SurveyPoints, SurveySettings
from staking.survey.cloud.class_names import class_words
from staking.survey.cloud.cloud_points import GROUND, count_points, ground_in
from staking.survey.cloud.cloud_system import stated_system
from staking.survey.cloud.las_header import CloudHead, read_head
from staking.survey.scanned.scan_points import in_file_unit, in_metres, scan_points
from staking.survey.scanned.scan_system import (
    ScanSystem,
    Stated,
    doubtful,
    doubts_of_place,
    settle_system,
)

MOST_BYTES = 100_000_000_000
"""A cloud is read in parts, so a large one takes time and no memory."""


def parse_cloud(stream: BinaryIO, name: str, settings: SurveySettings) -> SurveyPoints:
    """Look through a cloud: counts by class, extents and system.

    Parameters
    ----------
    stream
        The file.
    name
        As the user named it.
    settings
        What the user says of it.

    Returns
    -------
    SurveyPoints
        Without a point: their figures stand in `scan`.

    Notes
    -----
    `staking.errors.InputError` comes for a damaged file, and as `settle_system` raises it.
    """
    head = read_head(stream, name)
    stated = stated_system(head)
    system = settle_system(stated, settings)
    counts = count_points(stream, head)
    extent = None
    told: list[Notice] = []
    if counts.least is not None and counts.greatest is not None:
        ends = np.vstack((counts.least, counts.greatest))
        extent = in_metres(ends, system)
        middle = (sum(extent[0]) / 2, sum(extent[1]) / 2)
        if all(map(math.isfinite, middle)):
            told += doubtful(doubts_of_place(stated, settings, system, middle))
        told += _other_extent(head, ends, system)
    told += _no_ground(counts.by_class)
    told += _withheld(counts.withheld)
    scan = GroundScan(
        kind=ScanKind.CLOUD,
        count=head.count,
        ground=int(counts.by_class[GROUND]),
        classes=_classes(counts.by_class, head),
        withheld=counts.withheld,
        extent=extent,
        heights_unit=system.heights_unit.value,
    )
    return scan_points(name, _format(head), np.empty((0, 3)), scan, system, tuple(told))


def system_of_cloud(stream: BinaryIO, name: str, settings: SurveySettings) -> ScanSystem:
    """Say in what a cloud is read, from its head alone.

    Parameters
    ----------
    stream, name, settings
        As `parse_cloud` has them.

    Returns
    -------
    ScanSystem
        Its system and units.
    """
    return settle_system(stated_system(read_head(stream, name)), settings)


def read_cloud_window(
    stream: BinaryIO, name: str, settings: SurveySettings, window: Window
) -> SurveyPoints:
    """Read the ground of a cloud round the building.

    Parameters
    ----------
    stream, name, settings
        As `parse_cloud` has them.
    window
        Where the building or the lot is, northing and easting in the cloud's system, m.

    Returns
    -------
    SurveyPoints
        The points of the ground class in the window and some way round it, without names; none
        where the cloud lies elsewhere.

    Notes
    -----
    `staking.errors.InputError` comes for a damaged file, one without a ground class, and as
    `settle_system` raises it.
    """
    head = read_head(stream, name)
    stated = stated_system(head)
    system = settle_system(stated, settings)
    _refuse_doubtful_place(head, stated, settings, system)
    flat, margins = in_file_unit(window, system)
    found = ground_in(stream, head, flat, margins)
    if not len(found.places):
        _refuse_without_ground(stream, head)
    scan = GroundScan(
        kind=ScanKind.CLOUD,
        count=head.count,
        ground=len(found.places),
        withheld=found.withheld,
        extent=in_metres(np.array([head.least, head.greatest]), system),
        heights_unit=system.heights_unit.value,
        margin=found.margin * system.unit.metres,
    )
    return scan_points(
        name, _format(head), found.places, scan, system, tuple(_withheld(found.withheld))
    )


def _refuse_without_ground(stream: BinaryIO, head: CloudHead) -> None:
    """Refuse a cloud no point of which is ground, wherever it lies."""
    by_class = count_points(stream, head).by_class
    if by_class[GROUND]:
        return
    words = ", ".join(
        f"{each.count:,} of class {each.code} ({each.name})" for each in _classes(by_class, head)
    )
    raise head.fault(
        "none of the points is classified as ground"
        + (f": there are {words}" if words else "")
        + "; what is not ground may be grass, trees and roofs",
        "get the file with its ground classified (class 2), or have a program that sorts laser "
        "points do it",
    )


def _format(head: CloudHead) -> str:
    packed = ", compressed (LAZ)" if head.is_compressed else ""
    return f"LAS {head.version} point cloud{packed}"


def _classes(by_class: npt.NDArray[np.int64], head: CloudHead) -> tuple[ClassCount, ...]:
    return tuple(
        ClassCount(code=code, name=class_words(code, head.point_format), count=int(by_class[code]))
        for code in np.flatnonzero(by_class).tolist()
    )


def _refuse_doubtful_place(
    head: CloudHead, stated: Stated, settings: SurveySettings, system: ScanSystem
) -> None:
    """Refuse a cloud whose head puts it outside the area of its own system."""
    middle = tuple(
        (head.least[axis] + head.greatest[axis]) / 2 * system.unit.metres for axis in (1, 0)
    )
    if not all(map(math.isfinite, middle)):
        return
    doubts = doubts_of_place(stated, settings, system, (middle[0], middle[1]))
    if doubts:
        raise InputError(*doubts)


def _other_extent(
    head: CloudHead, ends: npt.NDArray[np.float64], system: ScanSystem
) -> list[Notice]:
    """Say so where the head gives another extent than the points have."""
    said = np.array([head.least, head.greatest])
    off = np.abs(said - ends).max()
    # A step of the file's whole numbers may be rounded away.
    if off <= 2 * max(map(abs, head.scales)):
        return []
    return [
        notice(
            "extent-doubtful",
            "the head of the file gives another extent than its points have, by up to {off} "
            "{unit}; the points' own is shown",
            off=f"{off:.4g}",
            unit=system.unit.plural,
        )
    ]


def _no_ground(by_class: npt.NDArray[np.int64]) -> list[Notice]:
    if by_class[GROUND]:
        return []
    return [
        notice(
            "no-ground-class",
            "none of the points is classified as ground (class 2), so a job cannot take its ground "
            "from this file",
        )
    ]


def _withheld(count: int) -> list[Notice]:
    if not count:
        return []
    return [
        notice(
            "points-withheld",
            "{count} points that the file marks as not to be used are left out",
            Severity.NOTE,
            count=f"{count:,}",
        )
    ]
