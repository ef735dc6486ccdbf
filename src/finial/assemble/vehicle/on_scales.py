"""What the builder read off scales and a cord, as intervals."""

from dataclasses import replace

from finial.core.estimates import Estimate, KnownBy
from finial.core.units import Quantity
from finial.files.sheet_day import WeighingEntry
from finial.mass.balance import Share
from finial.mass.weighing import two_scales

SCALE_SHARE, BALANCE_M = 0.005, 0.003
"""How far a scale [-] and a balance point [m] are off where no tolerance is told; common practice."""


def told(entry: WeighingEntry) -> tuple[Estimate, Estimate | None]:
    """Mass [kg] and balance point [m] as read; where several tell, what they have in common.

    Parameters
    ----------
    entry : WeighingEntry
        One scale, a cord, two scales, or all of them.

    Returns
    -------
    mass, balance : Estimate, Estimate or None
        Mass [kg], and station of the balance point [m]; ``None`` where it was neither hung nor on two scales.
    """
    mass = _mass(entry.mass) if entry.mass else None
    balance = _station(entry.balance) if entry.balance else None
    if not entry.scales:
        assert mass is not None, "the sheet's rules ask for a mass or two scales"
        return mass, balance
    first, second = (Share(mass=_mass(one.reads), station=_station(one.at)) for one in entry.scales)
    both = two_scales(first, second)
    return (
        mass.held_to(both.mass) if mass else both.mass,
        balance.held_to(both.station) if balance else both.station,
    )


def readings_clash(entry: WeighingEntry) -> bool:
    """Whether one scale and a cord say something else than two scales do."""
    if not entry.scales:
        return False
    mass, balance = told(entry.model_copy(update={"mass": None, "balance": None}))
    one_scale = entry.mass is None or _mass(entry.mass).meets(mass)
    cord = entry.balance is None or balance is None or _station(entry.balance).meets(balance)
    return not (one_scale and cord)


def _mass(told: Quantity) -> Estimate:
    own = told if told.tolerance > 0.0 else replace(told, tolerance=SCALE_SHARE * told.value)
    return own.estimate(KnownBy.WEIGHED, method="the whole on a scale")


def _station(told: Quantity) -> Estimate:
    own = told if told.tolerance > 0.0 else replace(told, tolerance=BALANCE_M)
    return own.estimate(KnownBy.MEASURED, method="the whole, hung or on two scales")
