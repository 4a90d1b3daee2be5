"""Feeds the survey readers bytes that a coverage-guided fuzzer makes; run on request, by hand.

``pip install atheris``, then ``python tests/fuzz/readers.py FOLDER``: the folder takes the inputs
that reached something new and may start empty; ``tests/data/surveys/faults`` beside it gives a
start. The run ends at the first input that raises anything but a survey error, and writes it out.
The first byte chooses the format, so that every reader gets its share.
"""

from __future__ import annotations

import contextlib
import importlib
import io
import pkgutil
import sys

SUFFIXES = (".csv", ".txt", ".xml", ".geojson", ".gpx", ".kml", ".kmz", ".dxf")


def read_one(data: bytes) -> None:
    """Read one input, whose first byte chooses the file's suffix, unit and care."""
    from staking.errors import InputError
    from staking.points import SurveySettings
    from staking.survey.detect import HEAD
    from staking.survey.read import parse_survey

    if not data:
        return
    choice, content = data[0], data[1:]
    name = "fuzzed" + SUFFIXES[choice % len(SUFFIXES)]
    said = SurveySettings(
        unit=(None, "ft", "us-ft", "m")[choice // len(SUFFIXES) % 4],
        skip_bad_lines=choice >= 128,
    )
    with contextlib.suppress(InputError):
        parse_survey(io.BytesIO(content), name, said, content[:HEAD])


def main() -> None:
    """Run until something else than a survey error comes out."""
    import atheris

    with atheris.instrument_imports(include=["staking"]):
        # Readers are imported when a file asks for them; that is too late to be watched.
        package = importlib.import_module("staking.survey")
        for module in pkgutil.walk_packages(package.__path__, "staking.survey."):
            importlib.import_module(module.name)
    atheris.Setup(sys.argv, read_one)
    atheris.Fuzz()


if __name__ == "__main__":
    main()
