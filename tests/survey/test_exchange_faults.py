"""Faulty GeoJSON, DXF and field books, each with all that is said of it."""

import json
from pathlib import Path

import pytest

from staking.errors import InputError
from staking.points import SurveySettings
from staking.survey.read import read_survey

FAULTS = Path(__file__).resolve().parents[1] / "data" / "surveys" / "faults"
MESSAGES = json.loads((Path(__file__).parent / "exchange_fault_messages.json").read_text("utf-8"))
ASKED = {"geojson_unknown_grid_given.geojson": SurveySettings(crs="EPSG:1")}


@pytest.mark.parametrize("name", sorted(MESSAGES))
def test_the_fault_is_said_exactly(name, monkeypatch):
    monkeypatch.chdir(FAULTS)
    with pytest.raises(InputError, match=r"\S") as fault:
        read_survey(Path(name), ASKED.get(name, SurveySettings()))
    assert str(fault.value) == MESSAGES[name]


def test_every_fault_file_of_these_formats_has_its_message():
    kinds = {"geojson", "dxf", "level", "angle"}
    there = {path.name for path in FAULTS.iterdir() if path.name.split("_")[0] in kinds}
    guesses = json.loads((Path(__file__).parent / "guess_fault_messages.json").read_text("utf-8"))
    assert there - set(guesses) == set(MESSAGES)
