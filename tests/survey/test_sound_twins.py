"""Every faulty survey has a sound twin: the same survey without its mistake, which is read."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from staking.output.wording import Words
from staking.plan import Options
from staking.points import SurveySettings
from staking.survey.read import read_survey

SURVEYS = Path(__file__).parents[1] / "data" / "surveys"
FAULTS = sorted((SURVEYS / "faults").iterdir())
SOUND = SURVEYS / "sound"
RIGHT = {
    "geojson_unknown_grid_given.geojson": {"crs": "EPSG:32632"},
    "angle_columns_without_degrees.csv": {
        "columns": (
            "point", "latitude", "latitude-minutes", "latitude-seconds", "west-longitude",
            "longitude-minutes", "longitude-seconds", "elevation",
        )
    },
}  # fmt: skip
"""Where the mistake was a setting and not in the file: the setting that is right."""


def faults_told() -> dict[str, tuple[dict[str, Any], str]]:
    """What each faulty survey is read with, and all that is said of it."""
    found: dict[str, tuple[dict[str, Any], str]] = {}
    for path in sorted(Path(__file__).parent.glob("*_fault_messages.json")):
        for name, case in json.loads(path.read_text(encoding="utf-8")).items():
            if isinstance(case, dict):
                found[name] = (case["settings"], "\n".join(case["says"]))
            else:
                found[name] = ({}, case if isinstance(case, str) else "\n".join(case))
    return found


TOLD = faults_told()


def test_every_fault_has_its_message_and_its_twin_and_every_twin_its_fault() -> None:
    names = {path.name for path in FAULTS}
    assert set(TOLD) == names
    assert {path.name for path in SOUND.iterdir()} == names


@pytest.mark.parametrize("name", sorted(TOLD))
def test_the_twin_is_read_and_none_of_the_messages_comes(
    name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(SOUND)
    settings, messages = TOLD[name]
    found = read_survey(Path(name), SurveySettings(**RIGHT.get(name, settings)))
    assert found.count >= 1
    words = Words(Options())
    said = [words.notice(each) for each in found.notices]
    assert [each for each in said if each in messages] == []
    if name not in RIGHT:
        assert (SOUND / name).read_bytes() != (SURVEYS / "faults" / name).read_bytes()
