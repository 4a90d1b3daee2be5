"""Footing sizes against the model code for houses, through a job file as a builder writes it.

Source: International Residential Code, 2024, R403.1.1, read in a reprint of chapter 4: a
footing is at least 12 inches wide and 6 inches thick; it projects at least 2 inches and not more
than its own thickness. The edition of 2021 has the same (from memory).
"""

from __future__ import annotations

from pathlib import Path

import pytest

from staking.project.layout import lay_out_job, load_job

JOB = """\
job: Shed
building:
  rectangle: 24' x 16'
  wall: {wall}
  footing: {{width: {width}, thickness: {thickness}}}
"""


@pytest.mark.parametrize(
    ("wall", "width", "thickness", "told"),
    [
        ('8"', '12"', '6"', set()),
        ('6"', '11 15/16"', '6"', {"narrow-footing"}),
        ('8"', '12"', '5 15/16"', {"thin-footing"}),
        ('8"', '11 7/8"', '6"', {"narrow-footing", "short-projection"}),
        ('10"', '13 7/8"', '6"', {"short-projection"}),
        ('8"', '20"', '6"', set()),
        ('8"', '20 1/8"', '6"', {"long-projection"}),
        ('8"', '28"', '10"', set()),
        ('8"', '28 1/4"', '10"', {"long-projection"}),
    ],
)
def test_the_minimum_itself_is_met_and_the_least_shortfall_is_told(
    tmp_path: Path, wall: str, width: str, thickness: str, told: set[str]
) -> None:
    path = tmp_path / "job.yaml"
    path.write_text(JOB.format(wall=wall, width=width, thickness=thickness), encoding="utf-8")
    layout = lay_out_job(load_job(path))
    kinds = {each.kind for each in layout.notices}
    assert {kind for kind in kinds if kind.endswith(("-footing", "-projection"))} == told
