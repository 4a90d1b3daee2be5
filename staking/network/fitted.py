"""What an adjustment of taped distances gives. Metres, radians."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from staking.frozen import frozen

Array = npt.NDArray[np.float64]


@frozen
class Measurement:
    """One taped distance between two corners, reduced to the level and to standard, m.

    `standard_error` is one sigma, m.
    """

    from_name: str
    to_name: str
    distance: float
    standard_error: float


@frozen
class Adjusted:
    """A measurement after the adjustment.

    `residual` is adjusted minus measured, m; `standardised` the residual over its own standard
    deviation, 0 where the redundancy is nil; `redundancy` between 0 and 1.
    """

    measurement: Measurement
    adjusted: float
    residual: float
    standardised: float
    redundancy: float


@frozen(eq=False)
class FittedNetwork:
    """A network adjusted by least squares.

    Parameters
    ----------
    names
        The corners, in the order of the arrays.
    coordinates
        ``(n, 2)`` x and y, m, in the plan's frame (best fit to it by turn and shift).
    covariance
        ``(2n, 2n)``, m2, inner constraints, a-priori error; x and y of each corner in turn.
    adjusted
        The measurements, in the order given.
    redundancy
        Measurements less what the shape needs.
    variance_factor
        Weighted sum of squared residuals over the redundancy; None without redundancy.
    correlation
        ``(m, m)`` correlations of the standardised residuals.
    """

    names: tuple[str, ...]
    coordinates: Array
    covariance: Array
    adjusted: tuple[Adjusted, ...]
    redundancy: int
    variance_factor: float | None
    correlation: Array
