"""Random sheds and L-shapes on random lots with levels: all outputs still say one thing.

The dimensions, the shed that stands in the way and the fall of the ground are drawn; everything
is invented.
"""

from __future__ import annotations

import os
import tempfile
from dataclasses import dataclass
from pathlib import Path

from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from tests.agree.lots import write_lot
from tests.agree.papers import Papers
from tests.agree.test_one_fact import TOLD

LOTS = int(os.environ.get("LOTS", "3"))
"""How many lots are tried, the plainest first: `LOTS=20` for many."""


@dataclass(frozen=True)
class Lot:
    """A job's text, the shed's corners on the building grid and the fall of the ground, ft."""

    job: str
    shed: tuple[tuple[float, float], ...]
    fall: tuple[float, float]


@st.composite
def lots(draw: st.DrawFn) -> Lot:
    """An L or a rectangle, walked either way, with a shed anywhere beside it or in its notch."""
    width, deep = draw(st.integers(18, 44)), draw(st.integers(18, 40))
    notch = draw(st.sampled_from([0.0, 0.5, 4.0, 9.0]))
    wide = draw(st.integers(6, width - 6))
    corners = [(0.0, 0.0), (width, 0.0), (width, deep - notch), (wide, deep - notch)]
    corners += [(wide, deep), (0.0, deep)]
    if notch == 0:
        corners = [(0.0, 0.0), (width, 0.0), (width, deep), (0.0, deep)]
    if draw(st.booleans()):
        corners = [corners[0], *corners[:0:-1]]
    placed = "A-B"
    text = ", ".join(
        f"{name}: [{x:g}', {y:g}']" for name, (x, y) in zip("ABCDEF", corners, strict=False)
    )
    x, y = draw(st.integers(2, 8)), draw(st.integers(2, 8))
    shed = ((width + x, y), (width + x + 7, y), (width + x + 7, y + 9), (width + x, y + 9))
    bank = draw(st.sampled_from(["", 'dig: {overdig: 6"}\n']))
    show = draw(st.sampled_from(["feet-inches", "decimal-feet"]))
    job = f"""\
job: Drawn workshop
units: ft
show: {show}
building:
  corners: {{{text}}}
  wall: 8"
  footing: {{width: 20", thickness: 10"}}
{bank}site:
  survey: lot.csv
  units: ft
  columns: [point, northing, easting, elevation, description]
  place: {{corner: A, wall: {placed}, north: 5000, east: 2000, bearing: N 73 00 00 E}}
  stay_clear: [{{name: shed, through: [31, 32, 33, 34]}}]
grade:
  ground: survey
  beyond: nearest
  benchmark: {{name: nail in oak, elevation: 100'}}
  top_of_wall: 102'
  frost_depth: 36"
"""
    fall = draw(st.sampled_from([(0.02, 0.01), (0.05, -0.03), (-0.04, 0.06)]))
    return Lot(job=job, shed=shed, fall=fall)


@settings(
    max_examples=LOTS,
    deadline=None,
    derandomize=True,
    # Every try runs all commands: the lot that failed is printed as it was drawn.
    phases=(Phase.explicit, Phase.generate),
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
@given(lot=lots())
def test_every_output_says_what_the_document_says(lot: Lot) -> None:
    with tempfile.TemporaryDirectory() as folder:
        job = write_lot(Path(folder) / "job", lot.job, lot.shed, lot.fall)
        papers = Papers(job=job, folder=Path(folder) / "out")
        for fact, output, reader in TOLD:
            if fact.applies(papers):
                assert reader(papers) == fact.truth(papers), (fact.name, output)
