"""Surveys that nothing may be guessed from: what is refused or said of each, exactly.

Every file has a sound twin of the same name in ``tests/data/surveys/sound``.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from staking.errors import InputError
from staking.output.wording import Words
from staking.plan import Options
from staking.points import SurveySettings
from staking.survey.read import read_survey

SURVEYS = Path(__file__).resolve().parents[1] / "data" / "surveys"
CASES: dict[str, dict[str, Any]] = json.loads(
    (Path(__file__).parent / "guess_fault_messages.json").read_text("utf-8")
)
SAID = sorted(name for name in CASES if CASES[name].get("is_said"))
REFUSED = sorted(set(CASES) - set(SAID))


@pytest.mark.parametrize("name", REFUSED)
def test_the_survey_is_refused_and_the_reason_is_exact(
    name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(SURVEYS / "faults")
    with pytest.raises(InputError, match=r"\S") as fault:
        read_survey(Path(name), SurveySettings(**CASES[name]["settings"]))
    assert str(fault.value).split("\n") == CASES[name]["says"]


@pytest.mark.parametrize("name", SAID)
def test_what_is_doubtful_is_said_exactly(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    said = []
    for folder in ("faults", "sound"):
        monkeypatch.chdir(SURVEYS / folder)
        found = read_survey(Path(name), SurveySettings(**CASES[name]["settings"]))
        said.append([Words(Options()).notice(each) for each in found.notices])
    assert [each for each in said[0] if each not in said[1]] == CASES[name]["says"]
