"""What the survey is in where neither the site section nor the file says so: the job's units."""

from __future__ import annotations

from pathlib import Path

import pytest

from staking.output.wording import Words
from staking.project.resolve import read_and_resolve

FOOT = 0.3048
US_FOOT = 1200 / 3937
BARE = "1,100,100,10\n2,100,200,11\n3,200,200,12\n4,200,100,13\n"
JOB = (
    "job: Barn\n{units}building:\n  rectangle: 24' x 16'\n  wall: 8\"\n"
    '  footing: {{width: 20", thickness: 10"}}\n'
    "site:\n  survey: lot.csv\n{site}"
    "  columns: [point, northing, easting, elevation]\n"
    "  place: {{wall: A-B, along: [1, 2], from_first: 12', offset: left 20'}}\n"
)


def resolved(folder: Path, units: str = "", site: str = "", heading: str = ""):
    (folder / "lot.csv").write_text(heading + BARE, encoding="utf-8")
    (folder / "job.yaml").write_text(JOB.format(units=units, site=site), encoding="utf-8")
    return read_and_resolve(folder / "job.yaml").layout


def told(layout) -> list[str]:
    words = Words(layout.options)
    return [words.notice(each) for each in layout.notices if each.kind == "unit-of-the-job"]


@pytest.mark.parametrize(
    ("units", "named", "metres"),
    [
        ("", "international feet", FOOT),
        ("units: us-ft\n", "U.S. survey feet", US_FOOT),
        ("units: m\n", "metres", 1.0),
    ],
)
def test_a_survey_without_a_unit_is_in_the_jobs_and_that_is_said(tmp_path, units, named, metres):
    layout = resolved(tmp_path, units)
    (survey,) = layout.site.files
    # Points 1 and 2 stand 100 apart, whatever plane they were brought onto.
    apart = survey.easting[1] - survey.easting[0]
    assert apart == pytest.approx(100 * metres, abs=1e-9, rel=0)
    assert told(layout) == [
        f"the file does not say its unit, and is read in the job's own, {named}; write units: "
        "under site if it is in another"
    ]


def test_a_unit_under_site_comes_before_the_jobs_and_nothing_is_said(tmp_path):
    layout = resolved(tmp_path, "", "  units: m\n")
    (survey,) = layout.site.files
    assert survey.easting[1] - survey.easting[0] == pytest.approx(100, abs=1e-9, rel=0)
    assert told(layout) == []


def test_the_files_own_unit_comes_before_the_jobs(tmp_path):
    layout = resolved(tmp_path, "", "", "point,northing (m),easting (m),elevation (m)\n")
    (survey,) = layout.site.files
    assert survey.easting[1] - survey.easting[0] == pytest.approx(100, abs=1e-9, rel=0)
    assert told(layout) == []
