"""Steps of the footing on the plan drawing."""

from __future__ import annotations

import io
import math
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from ezdxf.document import Drawing
from ezdxf.filemanagement import read

from staking.laid_out.layout_value import Layout
from staking.output.drawing.drawing_scale import frame_plan
from staking.output.drawing.plan_drawing import plan_document
from staking.output.drawing.write_drawing import write_drawing
from staking.project.layout import lay_out_job, load_job

JOB = Path(__file__).parents[2] / "fixtures" / "hillside-lot" / "job.yaml"
US_FOOT = 1200 / 3937


@pytest.fixture(scope="module")
def hillside() -> Layout:
    return lay_out_job(load_job(JOB))


@pytest.fixture(scope="module")
def doc(hillside: Layout) -> Drawing:
    stream = io.StringIO()
    write_drawing(plan_document(hillside), stream)
    stream.seek(0)
    return read(stream)


def steps(layout: Layout) -> list[Any]:
    assert layout.grade is not None
    return [(wall, built) for wall in layout.grade.walls for built in wall.built]


def test_every_step_is_a_line_across_its_footing_and_a_dashed_one(
    hillside: Layout, doc: Drawing
) -> None:
    assert hillside.site is not None
    assert hillside.site.placement is not None
    lines = doc.modelspace().query('LINE[layer=="S-FNDN-STEP"]')
    drawn = [(each.dxf.start, each.dxf.end, each.dxf.linetype) for each in lines]
    assert len(drawn) == 2 * len(steps(hillside)) > 10
    for wall, built in steps(hillside):
        (north, east), _ = hillside.site.to_survey(np.array(built.face)).tolist()
        place = (east / US_FOOT, north / US_FOOT)
        near = [each for each in drawn if math.dist(each[0].vec2, place) < 1e-6]
        assert [each[2] for each in near] == ["BYLAYER"]
        start, end, _ = near[0]
        width = wall.strand.footing.width / US_FOOT
        # The grid is 4 parts in 100,000 shorter than the ground there.
        assert (end - start).magnitude == pytest.approx(width, rel=0, abs=1e-4)
        overlap = abs(built.dig_to - built.step.station) / US_FOOT
        dashed = [each for each in drawn if each[2] == "STK_DASHED"]
        gaps = [math.dist(each[0].vec2, start.vec2) for each in dashed]
        assert min(gaps) == pytest.approx(overlap, rel=0, abs=1e-4)


def test_every_step_is_labelled_with_station_dig_and_rise(doc: Drawing) -> None:
    words = [each.dxf.text for each in doc.modelspace().query("TEXT")]
    for text in ("11' 4\" from A", "dig to 10' 6\"", "17' 4\" from A", "dig to 16' 6\""):
        assert text in words
    assert words.count('rise 8"') == len(words_with(words, " from ")) > 10


def words_with(words: list[str], part: str) -> list[str]:
    return [each for each in words if part in each]


def test_no_two_words_of_a_stepped_plan_cover_each_other(hillside: Layout) -> None:
    frame = frame_plan(hillside)
    groups = [variant.boxes for variant in (*frame.variants, *frame.loose)]
    for i, boxes in enumerate(groups):
        for others in groups[:i]:
            assert not any(box.covers(other) for box in boxes for other in others)


def test_no_string_runs_through_the_words_of_a_step(hillside: Layout) -> None:
    words = [
        (text, text.box)
        for variant in frame_plan(hillside).variants
        for text in variant.texts
        if text.text.startswith(("dig to", "rise")) or " from " in text.text
    ]
    assert len(words) > 30
    for text, box in words:
        struck = [s.name for s in hillside.strings if box.meets((s.start, s.end))]
        assert struck == [], text.text


def test_the_key_explains_the_steps_of_a_stepped_job_only(doc: Drawing) -> None:
    flat = lay_out_job(load_job(JOB.parents[1] / "orchard-workshop" / "job.yaml"))
    stream = io.StringIO()
    write_drawing(plan_document(flat), stream)
    stream.seek(0)
    for drawing, told in ((doc, True), (read(stream), False)):
        words = [each.dxf.text for each in drawing.paperspace().query("TEXT")]
        assert ("step; dashed: dig to" in words) is told
