"""A plan's picture beside the library's drawing of its file."""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent))
sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from timing import interleaved_seconds, say

ROOT = Path(__file__).resolve().parents[2]


def time_plans() -> None:
    """Draw the hillside lot's plan and take its picture; beside the library drawing the file."""
    from staking.output.drawing.plan_drawing import document_of, draw_plan
    from staking.output.pictures.picture import paper_picture
    from staking.output.pictures.svg_and_png import svg_text
    from staking.project.layout import lay_out_job, load_job
    from tests.output.library_picture import library_picture

    layout = lay_out_job(load_job(ROOT / "fixtures" / "hillside-lot" / "job.yaml"))
    plan = draw_plan(layout)
    picture, file, library = interleaved_seconds(
        (
            lambda: svg_text(paper_picture(plan)),
            lambda: document_of(plan),
            lambda: library_picture(document_of(plan)),
        ),
        rounds=5,
    )
    say("plan.svg of a drawn plan / the library's drawing of its file", picture / library, 0.1)
    say("the same / making the file alone", picture / file, 0.25)


def main() -> None:
    """Time the picture."""
    time_plans()


if __name__ == "__main__":
    main()
