"""What a campaign says: quantiles, odds, the landing ellipse, what matters most, what failed."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from finial.campaign.asked import Asked
from finial.campaign.design import PLAIN
from finial.campaign.flown import FlownCampaign
from finial.campaign.landing import Ellipse, landing_ellipse
from finial.campaign.quantiles import Odds, Quantile, odds, quantile
from finial.campaign.rare import RareOdds
from finial.campaign.sensitivity import Decided, decided
from finial.campaign.spot import Spot
from finial.core.errors import OutsideRange
from finial.flight.fly import ENDINGS

__all__ = ["Asked", "CampaignAnswer", "Failure", "ResultScatter", "Spot", "campaign_answer"]

SHARES: Final = (0.05, 0.5, 0.95)
_AT_ONCE: Final = 200_000
"""Landings that are asked about together."""
JUDGED: Final = {
    "apogee_m": "apogee above ground",
    "rail_exit_speed_m_s": "speed off the rail",
    "rail_exit_margin_m": "margin at rail exit, centre of pressure less balance point",
    "max_alpha_rad": "largest angle of attack under thrust",
    "max_acceleration_m_s2": "top acceleration",
    "max_speed_m_s": "top speed",
    "max_dynamic_pressure_pa": "top dynamic pressure",
    "max_canopy_acceleration_m_s2": "top acceleration under canopies",
    "landing_speed_m_s": "landing speed",
    "flight_time_s": "time in the air",
    "drift_m": "landing point from the pad",
}
"""Results that are told, and how."""
BEFORE_LOSS: Final = frozenset(
    {
        *("ended", "loss", "steps", "lift_off_mass_kg", "rail_exit_speed_m_s"),
        *("rail_exit_alpha_rad", "rail_exit_margin_m"),
    }
)
"""Results that a flight has before it can be lost."""
TRACED_BACK: Final = ("apogee_m", "rail_exit_speed_m_s", "rail_exit_margin_m", "max_alpha_rad", "drift_m")
"""Results whose scatter is traced back to what causes it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ResultScatter:
    """One result over all flights that have it."""

    key: str
    name: str
    flights: int
    mean: float
    quantiles: tuple[Quantile, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Failure:
    """Flights that did not end as meant, and how far and how hard they came down."""

    what: str
    flights: int
    farthest_m: float | None
    """Farthest landing from the pad [m]; ``None`` where none landed."""
    fastest_m_s: float | None
    """Fastest landing [m/s]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CampaignAnswer:
    """Everything a campaign says."""

    flights: int
    design: str
    seed: int
    rounding: str
    """What flew them: processors, or cards of which model."""
    scatters: tuple[ResultScatter, ...]
    odds: tuple[Odds, ...]
    """Most feared first."""
    unasked: tuple[Asked, ...]
    """What cannot be told, because sheet and site do not say enough."""
    rare: tuple[RareOdds, ...]
    """Odds of what is feared from flights led towards it; empty where that was not asked for."""
    ellipse: Ellipse | None
    failures: tuple[Failure, ...]
    decided: dict[str, Decided]
    """What decides, by result."""


def campaign_answer(flown: FlownCampaign, spot: Spot, rare: tuple[RareOdds, ...] = ()) -> CampaignAnswer:
    """Say what a campaign's flights say.

    Bounds of odds and quantiles are given for plain flights only: for other designs none hold.
    """
    values, landings = _Values(flown), flown.landings_m(sound=True)
    counted, ellipse = tuple(_odds(flown, spot, landings)), ellipse_or_none(landings)
    del landings  # of many flights every column that is held while others are asked for is memory
    return CampaignAnswer(
        flights=flown.count,
        design=flown.design,
        seed=flown.seed,
        rounding=flown.rounding,
        scatters=tuple(_scatters(values, plain=flown.design == PLAIN)),
        odds=counted,
        unasked=unasked(spot),
        rare=rare,
        ellipse=ellipse,
        failures=tuple(_failures(flown, values)),
        decided=dict(_decided(flown, values)),
    )


class _Values:
    """Results by name, not a number where a flight never came to what they tell; made when asked for.

    Of many flights all of them at once would fill the memory a second time.
    """

    def __init__(self, flown: FlownCampaign) -> None:
        self._flown = flown

    def __getitem__(self, key: str) -> NDArray[np.float64]:
        if key == "drift_m":
            return np.hypot(self["landing_east_m"], self["landing_north_m"])
        values = usable(self._flown, key)
        if key == "max_alpha_rad":
            return np.where(np.isnan(self["rail_exit_alpha_rad"]), np.nan, values)
        if key == "max_canopy_acceleration_m_s2":
            return np.where(values > 0.0, values, np.nan)
        return values


def usable(flown: FlownCampaign, key: str) -> NDArray[np.float64]:
    """Take the numbers that follow from a lost flight out: those after the rail say nothing."""
    column = flown.results[key]
    return column if key in BEFORE_LOSS else np.where(flown.lost, np.nan, column)


def _scatters(values: _Values, *, plain: bool) -> Iterator[ResultScatter]:
    for key, name in JUDGED.items():
        finite = _finite(values[key])
        if finite.size == 0:
            continue
        found = (quantile(finite, share) for share in SHARES)
        yield ResultScatter(
            key=key,
            name=name,
            flights=finite.size,
            mean=float(finite.mean()),
            quantiles=tuple(one if plain else _without_bounds(one) for one in found),
        )


def _finite(column: NDArray[np.float64]) -> NDArray[np.float64]:
    return column[np.isfinite(column)]


def _without_bounds(found: Quantile) -> Quantile:
    return Quantile(share=found.share, value=found.value, low=None, high=None)


def _odds(flown: FlownCampaign, spot: Spot, landings_m: NDArray[np.float64]) -> Iterator[Odds]:
    """Count; what never landed, or was lost, is under no canopy and outside the field.

    Where a lost flight comes down nobody knows: it is not counted among the people, and told apart.
    """
    canopy = flown.results["under_canopy"][flown.landed & ~flown.lost] > 0.0
    yield _counted(flown, Asked.OPEN_CANOPY, canopy)
    if spot.field_m is not None or spot.field_radius_m is not None:
        outline = spot.field_m is not None
        inside = _piece_by_piece(spot.is_inside, landings_m)
        yield _counted(flown, Asked.INSIDE_OUTLINE if outline else Asked.INSIDE_RADIUS, inside)
    if spot.crowd is not None:
        struck = _piece_by_piece(spot.crowd.struck, landings_m)
        placed = spot.crowd.is_placed
        yield _counted(flown, Asked.STRIKES_CROWD if placed else Asked.AS_FAR_AS_CROWD, struck)
        yield _counted(flown, Asked.STRIKES_BARE, struck & ~canopy)
    yield _counted(flown, Asked.LOST, flown.lost)
    if spot.ceiling_agl_m is not None:
        yield _counted(flown, Asked.OVER_CEILING, usable(flown, "apogee_m") > spot.ceiling_agl_m)
    yield _counted(flown, Asked.LANDS, flown.landed)


def _piece_by_piece(
    says: Callable[[NDArray[np.float64]], NDArray[np.bool_]], landings_m: NDArray[np.float64]
) -> NDArray[np.bool_]:
    """Ask of some landings after the other: what is reckoned on the way is larger than they are."""
    starts = range(0, max(len(landings_m), 1), _AT_ONCE)
    return np.concatenate([says(landings_m[start : start + _AT_ONCE]) for start in starts])


def _counted(flown: FlownCampaign, asked: Asked, which: NDArray[np.bool_]) -> Odds:
    return odds(asked, int(which.sum()), flown.count, plain=flown.design == PLAIN)


def counted_odds(flown: FlownCampaign, spot: Spot) -> tuple[Odds, ...]:
    """Count how flights end, most feared first."""
    return tuple(_odds(flown, spot, flown.landings_m(sound=True)))


def unasked(spot: Spot) -> tuple[Asked, ...]:
    """Tell what cannot be counted, because sheet and site do not say enough."""
    return tuple(_unasked(spot))


def _unasked(spot: Spot) -> Iterator[Asked]:
    if spot.field_m is None and spot.field_radius_m is None:
        yield Asked.INSIDE_RADIUS
    if spot.crowd is None or not spot.crowd.is_placed:
        yield Asked.STRIKES_CROWD
    if spot.ceiling_agl_m is None:
        yield Asked.OVER_CEILING


def ellipse_or_none(landings_m: NDArray[np.float64]) -> Ellipse | None:
    """Ellipse of landing points; ``None`` where too few landed, or all on one line."""
    try:
        return landing_ellipse(landings_m)
    except OutsideRange:
        return None


def _failures(flown: FlownCampaign, values: _Values) -> Iterator[Failure]:
    far, fast, ended = values["drift_m"], values["landing_speed_m_s"], flown.results["ended"]
    which = {ENDINGS[int(code)]: ended == code for code in np.unique(ended[~flown.landed])}
    for what, happened in (*which.items(), *((one.name, which) for one, which in flown.failed.items())):
        yield _failure(what, int(happened.sum()), far[happened], fast[happened])


def _failure(what: str, flights: int, far: NDArray[np.float64], fast: NDArray[np.float64]) -> Failure:
    landed = np.isfinite(far)
    return Failure(
        what=what,
        flights=flights,
        farthest_m=float(far[landed].max()) if landed.any() else None,
        fastest_m_s=float(fast[landed].max()) if landed.any() else None,
    )


def _decided(flown: FlownCampaign, values: _Values) -> Iterator[tuple[str, Decided]]:
    for key in TRACED_BACK:
        try:
            yield key, decided(values[key][: len(flown.drawn)], flown.drawn, flown.draws)
        except OutsideRange:
            continue
