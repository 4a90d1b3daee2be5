"""The pictures of a plan are its drawing file: held against the drawing library's own drawing."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from staking.output.drawing.plan_drawing import document_of, draw_plan
from staking.output.pictures.picture import Picture, paper_picture
from staking.output.pictures.picture_parts import Lettering, Stroke
from staking.project.layout import lay_out_job, load_job
from tests.output.library_picture import library_picture

ROOT = Path(__file__).resolve().parents[2]
JOBS = (
    *sorted((ROOT / "fixtures").glob("*/job.yaml")),
    *sorted((ROOT / "tests" / "data" / "jobs" / "sheets").glob("*.yaml")),
)
_ROUND = 30
"""A line of so many pieces is a circle, which two programs cut into others."""
_DESCENT = 0.35
"""How far over its place the library sets a dimension's words, mm: by half of what hangs under
a line of letters."""


@pytest.fixture(scope="module", params=JOBS, ids=lambda path: f"{path.parent.name}-{path.stem}")
def drawn(request) -> tuple[Picture, tuple[list[Stroke], list[Lettering]]]:
    """Our picture, and the library's lines and words."""
    plan = draw_plan(lay_out_job(load_job(request.param)))
    return paper_picture(plan), library_picture(document_of(plan))


def test_every_line_of_the_file_is_a_line_of_the_picture(drawn):
    ours, (strokes, _) = drawn
    assert len(ours.strokes) == len(strokes) > 100
    for own, other in zip(ours.strokes, strokes, strict=True):
        assert (own.layer, own.colour, own.closed) == (other.layer, other.colour, other.closed)
        assert own.width == pytest.approx(other.width, rel=0, abs=1e-9)
        assert own.dashes == pytest.approx(other.dashes, rel=0, abs=1e-9)
        if len(other.points) >= _ROUND:
            for at in (0, 1):
                for end in (min, max):
                    reach = [end(point[at] for point in each.points) for each in (own, other)]
                    assert reach[0] == pytest.approx(reach[1], rel=0, abs=0.02)
            continue
        assert len(own.points) == len(other.points)
        for point, place in zip(own.points, other.points, strict=True):
            assert point == pytest.approx(place, rel=0, abs=1e-5)


def test_every_word_of_the_file_stands_where_the_picture_has_it(drawn):
    ours, (_, words) = drawn
    assert len(ours.words) == len(words) > 50
    for own, other in zip(ours.words, words, strict=True):
        assert (own.layer, own.colour, own.text) == (other.layer, other.colour, other.text)
        assert own.height == pytest.approx(other.height, rel=0, abs=1e-6)
        assert math.remainder(own.turn - other.turn, math.tau) == pytest.approx(0, abs=1e-6)
        off = _DESCENT if own.layer == "S-ANNO-DIMS" else 1e-5
        assert math.dist((own.x, own.y), (other.x, other.y)) < off
