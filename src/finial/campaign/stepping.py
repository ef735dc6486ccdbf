"""How fine the steps of a campaign's flights need to be, beside how far its flights scatter."""

from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from finial.campaign.campaign import Campaign, fly_range
from finial.flight.kernel.layout import TOLERANCE
from finial.flight.many import RESULTS, ManyFlights

WORTH_IT: Final = 20_000
"""Flights of a campaign from which on trying saves more than it takes."""
COARSER: Final = (1e-3, 3e-4)
"""Errors a step that are tried, before the usual 1e-4."""
_EXACT: Final = 1e-7
_TRIED: Final = 200
_MOST: Final = 0.1
"""Error as a share of the scatter, which it widens by half a percent then; chosen."""
_SAME: Final = ("ended", "loss", "under_canopy", "lift_off_mass_kg")
"""Results that no step may change."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StepsChosen:
    """A campaign with the steps that it flies, and what they cost in exactness."""

    campaign: Campaign
    tolerance: float
    """Error allowed in one step [-]."""
    worst: float | None
    """Largest error of any result, as a share of its scatter; ``None``: the usual steps, not tried [-]."""


def as_coarse_as_may_be(campaign: Campaign) -> StepsChosen:
    r"""Fly a campaign in the coarsest steps whose errors are lost in the scatter of every result.

    .. math::  \sqrt{\overline{(y_\tau - y)^2}} \le 0.1 \, \sigma_y

    Parameters
    ----------
    campaign : Campaign
        With the usual steps, which stay for fewer than 20,000 flights and where a result scatters too little.

    Returns
    -------
    chosen : StepsChosen
        The campaign, its error a step [-] and the largest error over scatter [-].

    Notes
    -----
    Tried on the campaign's first 200 flights against steps of 1e-7. Every result counts, peaks too: they are
    taken at the ends of steps and halfway, so that they suffer first.

    References
    ----------
    .. [1] Independent errors add in squares: a tenth of the scatter widens it by 0.5 %. The tenth is chosen.
    """
    usual = float(campaign.packed.pool[TOLERANCE])
    if campaign.flights < WORTH_IT:
        return StepsChosen(campaign=campaign, tolerance=usual, worst=None)
    exact = _flown(stepping(campaign, _EXACT))
    for tolerance in COARSER:
        coarse = stepping(campaign, tolerance)
        worst = worst_error(_flown(coarse), exact)
        if worst <= _MOST:
            return StepsChosen(campaign=coarse, tolerance=tolerance, worst=worst)
    return StepsChosen(campaign=campaign, tolerance=usual, worst=None)


def stepping(campaign: Campaign, tolerance: float) -> Campaign:
    """Return the campaign with another error allowed in each step [-]."""
    pool = campaign.packed.pool.copy()
    pool[TOLERANCE] = tolerance
    return replace(campaign, packed=replace(campaign.packed, pool=pool))


def worst_error(tried: ManyFlights, exact: ManyFlights) -> float:
    """Largest error over its scatter of any result [-]; without bound where a flight ends otherwise."""
    if any(not np.array_equal(tried.column(one), exact.column(one)) for one in _SAME):
        return np.inf
    told = (one for one in RESULTS if one not in (*_SAME, "steps"))
    return max(_over_scatter(tried.column(one), exact.column(one)) for one in told)


def _flown(campaign: Campaign) -> ManyFlights:
    return fly_range(campaign, 0, _TRIED)


def _over_scatter(tried: NDArray[np.float64], exact: NDArray[np.float64]) -> float:
    known = np.isfinite(exact)
    if not np.array_equal(known, np.isfinite(tried)):
        return np.inf
    if not known.any():
        return 0.0
    error, scatter = float(np.sqrt(np.mean((tried - exact)[known] ** 2))), float(exact[known].std())
    # What does not scatter at all is wanted as it is.
    return 0.0 if error == 0.0 else error / scatter if scatter > 0.0 else np.inf
