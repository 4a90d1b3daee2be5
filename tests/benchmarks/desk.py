"""An answer at the desk, from the text to the picture, beside the library's drawing of the plan."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable, Iterator
from itertools import cycle
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent))
sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from timing import say

ROOT = Path(__file__).resolve().parents[2]
FIXTURES = ("orchard-workshop", "hillside-lot")
ROUNDS = 12


def answering(path: Path) -> Callable[[], object]:
    """Return a call that puts another stand-off into a job, reads it and draws it."""
    from staking.desk.drawn_answer import draw_answer, read_answer
    from staking.job.edit.file_edits import Answer

    values: Iterator[str] = cycle(f"{3 + number % 3}' {number % 12}\"" for number in range(12))
    text = path.read_text(encoding="utf-8")
    before = draw_answer(text, path)[1]

    def answer() -> None:
        nonlocal text, before
        told, job = read_answer(
            text, [Answer(place=("boards", "stand_off"), value=next(values))], path
        )
        text = told["text"]
        before = draw_answer(text, path, job, before)[1] or before

    return answer


def processor_seconds(works: tuple[Callable[[], object], ...]) -> tuple[float, ...]:
    """Return the least processor time of each of some calls, made in turn."""
    taken: list[list[float]] = [[] for _ in works]
    for turn in range(ROUNDS + 1):
        for times, work in zip(taken, works, strict=True):
            start = time.process_time()
            work()
            if turn:
                times.append(time.process_time() - start)
    return tuple(map(min, taken))


def main() -> None:
    """Time one answer about boards on both fixtures."""
    from staking.output.drawing.plan_drawing import document_of, draw_plan
    from staking.project.layout import lay_out_job, load_job
    from tests.output.library_picture import library_picture

    for name in FIXTURES:
        path = ROOT / "fixtures" / name / "job.yaml"
        plan = draw_plan(lay_out_job(load_job(path)))
        made, library = processor_seconds((
            answering(path),
            lambda plan=plan: library_picture(document_of(plan)),
        ))
        say(f"{name}: an answer read and drawn / the library's drawing", made / library, None)


if __name__ == "__main__":
    main()
