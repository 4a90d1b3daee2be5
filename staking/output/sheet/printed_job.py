"""What every sheet of the set is filled from: the job's values and the drawings made of them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.frozen import frozen
from staking.output.sheet.page_sizes import PageColumn, columns, whole_page

if TYPE_CHECKING:
    from staking.kinds import SheetKind
    from staking.output.profile.on_paper.walls_in_rows import ProfileRows
    from staking.output.sheet_drawings.plans_of_job import PlansOfJob
    from staking.project.sheets import Sheets


@frozen
class PrintedJob:
    """One job as it is printed.

    Parameters
    ----------
    sheets
        What is shown of the job.
    profiles
        Every wall in profile, in rows; None without levels.
    kinds
        The sheets that are printed, in their order.
    plans
        The plans of dimensions and boards; None where there are no values for drawings.
    """

    sheets: Sheets
    profiles: ProfileRows | None
    kinds: tuple[SheetKind, ...]
    plans: PlansOfJob | None

    @property
    def column(self) -> PageColumn:
        """Where the content of an upright page goes; the first of two on a large paper."""
        return columns(self.sheets.layout.options.paper)[0]

    @property
    def has_two_columns(self) -> bool:
        """Whether a page holds two columns beside one another."""
        return len(columns(self.sheets.layout.options.paper)) > 1

    @property
    def whole(self) -> PageColumn:
        """Where the content of a page on its side goes."""
        return whole_page(self.sheets.layout.options.paper)
