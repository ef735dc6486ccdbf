"""The posterior where it may be bent, by an ensemble of refits to the log as chance may have made it."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import NotConverged, OutsideRange
from finial.logbook.fit import Fitted, Problem, settled

MEMBERS = 48
_LEAST_SETTLED = 0.9
"""Fewer refits that come to rest than this share, and their ends tell nothing."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Posterior:
    """Refits of one log, each as likely as the other; equal only to itself."""

    values: NDArray[np.float64]
    """(n, d)."""
    tried: int

    @property
    def is_enough(self) -> bool:
        """Whether so many came to rest that the ends of its intervals can be relied on."""
        return len(self.values) >= _LEAST_SETTLED * self.tried

    def between(self, index: int, share: float = 0.9) -> tuple[float, float, float]:
        """Low end, middle and high end of one number; as much lies below the low end as above the high."""
        wanted = (0.5 - 0.5 * share, 0.5, 0.5 + 0.5 * share)
        low, middle, high = np.quantile(self.values[:, index], wanted, method="weibull").tolist()
        return low, middle, high


def drawn(problem: Problem, found: Fitted, *, members: int = MEMBERS, seed: int = 1) -> Posterior:
    r"""Refit the log as chance may have made it, from guesses as chance may have made them.

    .. math::  x_i = \arg\min_x\; \frac{|r(x) - \epsilon_i|^2}{\kappa}
               + \sum \frac{(x - x_0 - \delta_i)^2}{\sigma_0^2}, \qquad
               \epsilon_i \sim N(0, \kappa), \quad \delta_i \sim N(0, \sigma_0^2)

    Where the model is straight the members are draws of the normal posterior; where it is bent they follow
    the bend, which the fit's covariance does not. The same seed gives the same members.

    Raises
    ------
    OutsideRange
        If fewer than twenty members are asked for.

    References
    ----------
    .. [1] Oliver, He and Reynolds, Conditioning permeability fields to pressure data, 5th European Conference
       on the Mathematics of Oil Recovery, 1996: randomized maximum likelihood (from memory).
    """
    if members < 20:
        raise OutsideRange(f"{members} members: at least 20 are accepted")
    chance = np.random.default_rng(seed)
    kappa = found.stretch**2
    kept: list[NDArray[np.float64]] = []
    for _ in range(members):
        try:
            kept.append(_member(problem, found, kappa, chance))
        except NotConverged:
            # Counted by what is missing: few of them are no matter, many are said.
            continue
    return Posterior(values=np.array(kept).reshape(len(kept), len(found.values)), tried=members)


def _member(
    problem: Problem, found: Fitted, kappa: float, chance: np.random.Generator
) -> NDArray[np.float64]:
    noise = np.sqrt(kappa) * chance.standard_normal(len(found.residuals))
    guess = problem.before + problem.sigmas * chance.standard_normal(len(problem.before))

    def residuals(values: NDArray[np.float64]) -> NDArray[np.float64]:
        return problem.residuals(values) - noise

    other = Problem(residuals=residuals, before=guess, sigmas=problem.sigmas, ends=problem.ends)
    return settled(other, found.values, kappa)[0]
