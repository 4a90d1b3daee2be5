"""What the fuzzers of the readers share: watching the package, settings from bytes, the run.

Each file beside this one feeds one reader bytes that a coverage-guided fuzzer makes; run by hand.
``pip install atheris``, then ``python tests/fuzz/delimited_text.py FOLDER``: the folder takes the
inputs that reached something new and may start empty; more folders behind it give a start. The run
ends at the first input that raises anything but the package's own fault, and writes it out;
``-max_total_time=150`` ends it after so many seconds.
"""

from __future__ import annotations

import contextlib
import importlib
import io
import pkgutil
import sys
from collections.abc import Callable, Sequence
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

UNITS = (None, "ft", "us-ft", "m", "in", "mm")
COLUMNS = (
    None,
    None,
    ("point", "northing", "easting", "elevation", "description"),
    ("northing", "easting"),
    ("point", "latitude", "longitude", "elevation"),
    ("latitude-dms", "west-longitude-dms"),
    ("point", "latitude", "latitude-minutes", "latitude-seconds", "longitude",
     "longitude-minutes", "longitude-seconds", "longitude-letter"),
    ("point", "-", "elevation"),
)  # fmt: skip
CODES = (None, None, "EPSG:26915", "EPSG:2248")


def read_survey_of(data: bytes, suffixes: Sequence[str]) -> None:
    """Read one input, whose first three bytes choose the suffix and the settings."""
    from staking.errors import InputError
    from staking.points import SurveySettings
    from staking.survey.detect import HEAD
    from staking.survey.read import parse_survey

    if len(data) < 3:
        return
    first, second, third, content = data[0], data[1], data[2], data[3:]
    said = SurveySettings(
        unit=UNITS[first // len(suffixes) % len(UNITS)],
        columns=COLUMNS[second % len(COLUMNS)],
        crs=CODES[second // len(COLUMNS) % len(CODES)],
        skip_bad_lines=bool(third & 1),
        is_listing=bool(third & 2),
        no_elevation=(None, (), (0.0,), (-9999.0,))[third // 4 % 4],
        job_unit="ft" if third & 16 else None,
    )
    with contextlib.suppress(InputError):
        points = parse_survey(
            io.BytesIO(content), f"fuzzed{suffixes[first % len(suffixes)]}", said, content[:HEAD]
        )
        tell(points)


def tell(points: object) -> None:
    """Write out everything that is said of a survey, as the command does."""
    from staking.output.wording import Words
    from staking.plan import Options

    for each in points.notices:  # type: ignore[attr-defined]
        Words(Options()).notice(each)


def run(read_one: Callable[[bytes], None]) -> None:
    """Run until something else than a fault of the package comes out."""
    import atheris

    with atheris.instrument_imports(include=["staking"]):
        # Readers are imported when a file asks for them; that is too late to be watched.
        package = importlib.import_module("staking.survey")
        for module in pkgutil.walk_packages(package.__path__, "staking.survey."):
            importlib.import_module(module.name)
    atheris.Setup(sys.argv, read_one)
    atheris.Fuzz()
