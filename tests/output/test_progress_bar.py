from __future__ import annotations

import io
import sys

import pytest

from staking.output.progress_bar import SHORT, progress_bar
from staking.progress import long_work, show_progress


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


@pytest.mark.parametrize(
    ("stream", "total", "shown"),
    [
        (Terminal(), 10 * SHORT, True),
        (Terminal(), SHORT, False),
        (io.StringIO(), 10 * SHORT, False),
    ],
    ids=["terminal", "short", "pipe"],
)
def test_a_bar_is_drawn_on_a_terminal_for_long_work_alone(
    stream: io.StringIO, total: int, shown: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "stderr", stream)
    show_progress(progress_bar)
    try:
        with long_work("reading [red]tile\x1b.laz", total) as advance:
            advance(total // 2)
    finally:
        show_progress(None)
    assert ("tile" in stream.getvalue()) is shown
    # A name can neither steer the terminal nor colour the bar.
    assert ("[red]" in stream.getvalue()) is shown
    assert "tile\x1b" not in stream.getvalue()


def test_nothing_is_shown_where_nobody_asked() -> None:
    with long_work("reading", 5) as advance:
        advance(5)


def test_a_fault_in_the_work_is_not_swallowed(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stderr", Terminal())
    show_progress(progress_bar)
    try:
        with pytest.raises(ValueError, match="broken"), long_work("reading", 10 * SHORT):
            raise ValueError("broken")
    finally:
        show_progress(None)
