"""What the desk weighs, beside the answers of its page: one piece of work, told as it goes on."""

from __future__ import annotations

import sys
import threading
import time
import traceback
from contextlib import contextmanager
from multiprocessing import active_children
from typing import TYPE_CHECKING

from staking.desk.told_blocks import Told, block_told
from staking.errors import ComputationError, ProjectError
from staking.frozen import frozen

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from pathlib import Path

    from staking.job.build import Job
    from staking.job.edit.file_edits import Answer
    from staking.progress import Advance
    from staking.weigh.weighed import Weighed


_PATIENCE = 10.0
"""How long the desk's end waits for what it was weighing, seconds."""


class _StoppedError(BaseException):
    """The work was left: its page asked for other work, or the desk is closed."""


@frozen(eq=False)
class _Done:
    """What came of it."""

    job: Job
    weighed: Weighed


class Weighing:
    """Weighs one text at a time.

    Parameters
    ----------
    path
        The job file.
    """

    def __init__(self, path: Path) -> None:
        self._path = path
        self._lock = threading.Lock()
        self._work: _Work | None = None

    def start(self, text: str) -> None:
        """Weigh a text; what was being weighed before is left.

        Parameters
        ----------
        text
            The job as the page has it.
        """
        with self._lock:
            self.stop()
            self._work = _Work(text, self._path)
            self._work.thread.start()

    def stop(self) -> None:
        """Leave what is being weighed, and end the processes that work its rows out."""
        if self._work is not None and not self._work.is_left.is_set():
            self._work.is_left.set()
            _end_processes()

    def close(self) -> None:
        """Leave what is being weighed for good: no process outlives the desk."""
        self.stop()
        if self._work is None:
            return
        end = time.monotonic() + _PATIENCE
        while self._work.thread.is_alive() and time.monotonic() < end:
            # Those that were about to begin are ended as they come.
            self._work.thread.join(0.05)
            _end_processes()
        # The last of them may have begun just before the thread ended.
        _end_processes()

    @property
    def told(self) -> Told:
        """How far it is: ``running``, ``done`` of ``total``, then ``faults`` or ``blocks``."""
        work = self._work
        return {"running": False, "done": 0, "total": 0} if work is None else work.told()

    def row_answers(self, text: str, number: int) -> Sequence[Answer]:
        """Give what a row is as answers to the text that was weighed.

        Parameters
        ----------
        text
            The job as the page has it now.
        number
            The row, from 1.

        Returns
        -------
        sequence of Answer
            None of them where the row is the job as it is written.

        Raises
        ------
        ComputationError
            Where nothing of this text was weighed, or there is no such row.
        """
        from staking.project.desk import row_answers

        work = self._work
        if work is None or work.text != text or work.came is None:
            raise ComputationError(
                "the answers were changed since these rows were worked out; compare them anew"
            )
        if not 0 < number <= len(work.came.weighed.rows):
            raise ComputationError(f"there is no row {number}")
        return row_answers(work.came.weighed, number, work.came.job, text, self._path)


def _end_processes() -> None:
    # The desk has no other processes than those that work out rows. They write nothing, so they may
    # end in the middle of one.
    ended = active_children()
    for each in ended:
        each.kill()
    for each in ended:
        each.join(_PATIENCE)


class _Work:
    """One text that is weighed in a thread of its own."""

    def __init__(self, text: str, path: Path) -> None:
        self.text = text
        self.came: _Done | None = None
        self.is_left = threading.Event()
        self.thread = threading.Thread(target=self._run, daemon=True)
        self._path = path
        self._so_far = (0, 0)
        self._faults: list[Told] = []

    def told(self) -> Told:
        """Say how far it is, and what came of it."""
        done, total = self._so_far
        running = self.thread.is_alive() and self.came is None
        said: Told = {"running": running, "done": done, "total": total, "faults": self._faults}
        return said if self.came is None else {**said, **_rows_told(self.came.weighed)}

    def _run(self) -> None:
        from staking.desk.drawn_answer import faults_told
        from staking.progress import show_progress
        from staking.project.desk import job_of_text
        from staking.project.weigh import weigh_job

        show_progress(self._shown)
        try:
            job = job_of_text(self.text, self._path)
            self.came = _Done(job=job, weighed=weigh_job(self._path, job))
        except _StoppedError:
            return
        except ProjectError as error:
            self._faults = faults_told(error, str(self._path))
        except Exception:
            if self.is_left.is_set():
                # Its processes were ended in the middle of a row.
                return
            traceback.print_exc(file=sys.stderr)
            said = "the rows could not be worked out; what went wrong stands in the terminal"
            self._faults = [{"place": [], "line": None, "text": said}]

    @contextmanager
    def _shown(self, what: str, total: int) -> Iterator[Advance]:
        if what != "weighing":
            yield lambda _: None
            return
        self._so_far = (0, total)
        self._advance(0)
        yield self._advance

    def _advance(self, more: int) -> None:
        if self.is_left.is_set():
            raise _StoppedError
        done, total = self._so_far
        self._so_far = (done + more, total)


def _rows_told(weighed: Weighed) -> Told:
    from staking.output.pictures.svg_and_png import svg_text
    from staking.output.tables.notice_listings import notice_blocks
    from staking.output.weighed.weigh_picture import weigh_picture
    from staking.output.weighed.weigh_tables import place_text, shown_rows, weigh_blocks
    from staking.output.wording import Words

    words = Words(weighed.options)
    rows = [(i + 1, weighed.rows[i]) for i in shown_rows(weighed)]
    return {
        "notices": [block_told(each) for each in notice_blocks(weighed.notices, words)],
        "picture": svg_text(weigh_picture(weighed), "Tops of wall and places side by side"),
        "blocks": [block_told(each) for each in weigh_blocks(weighed)],
        "rows": [
            {
                "row": number,
                "name": f"{words.length(row.candidate.top)}, {place_text(weighed, row)}",
                "stands": row.stands,
                "best": weighed.best == number - 1,
            }
            for number, row in rows
        ],
    }
