"""The last lines of a command that laid out several jobs."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.output.endings.six_lines import Ending
from staking.output.wording import safe

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

_NAMED = 4
"""Up to so many jobs are named."""


def several_ending(
    done: Sequence[Path], broken: Sequence[Path], not_done: Sequence[Path], *, sheets: bool
) -> Ending:
    """Say how several jobs came out, and which of them to open first.

    Parameters
    ----------
    done
        The jobs that break nothing.
    broken
        Those that were laid out and break something.
    not_done
        Those that were not laid out.
    sheets
        Whether their sheets were written.

    Returns
    -------
    Ending
        The files are in the folders that stand in the lines over it.
    """
    count = len(done) + len(broken) + len(not_done)
    parts = [f"{len(done)} of {count} jobs are laid out and break nothing that they set"]
    if broken:
        parts.append(f"BROKEN: {_named(broken)}")
    if not_done:
        parts.append(f"not done: {_named(not_done)}")
    if not_done:
        first = f"mend {safe(not_done[0].name)}, as it is said above, and lay it out again."
    elif broken:
        first = f"settle what {safe(broken[0].name)} breaks, before anything is staked or dug."
    elif sheets:
        first = "print sheet.pdf of each job: its first page says how the day begins."
    else:
        first = ""
    made = bool(done or broken)
    return Ending(
        verdict=f"{'; '.join(parts)}.",
        first=first,
        files="Files: in the folders named above, one for each job." if made else "",
        cautions=made,
    )


def _named(paths: Sequence[Path]) -> str:
    names = ", ".join(safe(str(path)) for path in paths[:_NAMED])
    more = len(paths) - _NAMED
    return f"{names} and {more} more" if more > 0 else names
