"""Faulty point files, each with all that is said of it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from staking.errors import InputError
from staking.points import SurveySettings
from staking.survey.read import read_survey

FAULTS = Path(__file__).resolve().parents[1] / "data" / "surveys" / "faults"
CASES = json.loads((Path(__file__).parent / "delimited_fault_messages.json").read_text("utf-8"))


@pytest.mark.parametrize("name", sorted(CASES))
def test_the_fault_is_said_exactly(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(FAULTS)
    case = CASES[name]
    with pytest.raises(InputError, match=r"\S") as fault:
        read_survey(Path(name), SurveySettings(**case["settings"]))
    assert str(fault.value).split("\n") == case["says"]
