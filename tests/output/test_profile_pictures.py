"""The profiles in one picture: every wall, under one another, none over the edge."""

from __future__ import annotations

import io
from pathlib import Path
from xml.etree import ElementTree

from staking.output.profile.profile_pictures import write_profiles
from staking.project.layout import lay_out_job, load_job

ROOT = Path(__file__).parents[2]
SVG = "{http://www.w3.org/2000/svg}"


def test_the_key_and_every_wall_have_their_place_within_the_picture() -> None:
    layout = lay_out_job(load_job(ROOT / "fixtures" / "hillside-lot" / "job.yaml"))
    stream = io.StringIO()
    write_profiles(layout, stream)
    root = ElementTree.fromstring(stream.getvalue())
    assert layout.grade is not None
    parts = root.findall(f"{SVG}svg")
    walls = {f"Profile of {each.profile.wall}" for each in layout.grade.walls}
    labels = [part.get("aria-label") for part in parts]
    assert labels[0] == "Key of the profiles"
    assert len(labels) == 1 + len(walls)
    assert set(labels[1:]) == walls
    wide, high = (float(root.get(name, "").removesuffix("mm")) for name in ("width", "height"))
    down = 0.0
    for part in parts:
        left, top, width, height = (
            float(part.get(name, "nan")) for name in ("x", "y", "width", "height")
        )
        assert part.get("viewBox") == f"0 0 {part.get('width')} {part.get('height')}"
        assert top >= down
        assert left + width <= wide
        down = top + height
    assert down <= high
