"""What a command printed, read back: its last lines, and how wide its lines are."""

from __future__ import annotations


def last_lines(text: str) -> list[str]:
    """The lines after the last empty one, which is where a command ends."""
    return text.rstrip("\n").rpartition("\n\n")[2].splitlines()


def widest(text: str) -> int:
    """The longest line; one that is a path and nothing else is never broken, and not counted."""
    return max((len(line) for line in text.splitlines() if " " in line.strip()), default=0)
