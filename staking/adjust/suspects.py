"""A reading that does not fit, or several of which one does not."""

from __future__ import annotations

from staking.frozen import frozen


@frozen
class Suspect:
    """A reading that does not fit, or several of which one does not and nobody can say which.

    Parameters
    ----------
    members
        Places in the list of measurements; the likeliest first.
    size
        By how much the likeliest reads long (negative: short), m.
    size_error
        The standard error of that, m.
    standardised
        Its standardised residual when it was named.
    redundancy
        Its redundancy number then.
    slip
        What may have happened, in words; empty where the size tells nothing.
    """

    members: tuple[int, ...]
    size: float
    size_error: float
    standardised: float
    redundancy: float
    slip: str

    @property
    def alone(self) -> bool:
        """Whether a single reading is named."""
        return len(self.members) == 1
