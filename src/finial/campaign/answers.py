"""What a campaign says: quantiles, odds, the landing ellipse, what matters most, what failed."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from finial.campaign.asked import Asked
from finial.campaign.design import PLAIN
from finial.campaign.flown import LANDINGS, FlownCampaign, SomeFlights
from finial.campaign.happened import happened
from finial.campaign.landing import Ellipse, ellipse_of, landing_ellipse
from finial.campaign.quantiles import Odds, Quantile, odds, quantile_of_ranks, ranks_asked
from finial.campaign.ranked import PASSES, RankedNumbers
from finial.campaign.rare import RareOdds
from finial.campaign.sensitivity import Decided, decided
from finial.campaign.spot import Spot
from finial.core.errors import OutsideRange
from finial.flight.fly import ENDINGS

__all__ = ["Asked", "CampaignAnswer", "Failure", "ResultScatter", "Spot", "campaign_answer"]

SHARES: Final = (0.05, 0.5, 0.95)
_AT_ONCE: Final = 200_000
"""Flights that are asked about together."""
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
    """Say what a campaign's flights say, piece by piece: memory does not grow with their number.

    Bounds of odds and quantiles are given for plain flights only: for other designs none hold.
    """
    counted = _Counted(flown, spot)
    return CampaignAnswer(
        flights=flown.count,
        design=flown.design,
        seed=flown.seed,
        rounding=flown.rounding,
        scatters=tuple(_scatters(flown)),
        odds=counted.odds(flown),
        unasked=unasked(spot),
        rare=rare,
        ellipse=ellipse_of_flights(flown),
        failures=tuple(counted.failures()),
        decided=dict(_decided(flown)),
    )


class _Values:
    """Results by name, not a number where a flight never came to what they tell; made when asked for."""

    def __init__(self, flown: FlownCampaign | SomeFlights) -> None:
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


_ENDS: Final = ("ended", "loss")
_READ: Final = (
    *_ENDS,
    *LANDINGS,
    "under_canopy",
    "rail_exit_alpha_rad",
    *(key for key in JUDGED if key != "drift_m"),
)
"""Columns that values are made of."""


def usable(flown: FlownCampaign | SomeFlights, key: str) -> NDArray[np.float64]:
    """Take the numbers that follow from a lost flight out: those after the rail say nothing."""
    column = flown.results[key]
    return column if key in BEFORE_LOSS else np.where(flown.lost, np.nan, column)


class _Column:
    """What is kept of one result while all flights pass by."""

    def __init__(self) -> None:
        self.ranked, self.count, self.total = RankedNumbers(), 0, np.longdouble(0.0)

    def counted(self) -> None:
        """End the first pass: only now is it known which ranks the quantiles are made of."""
        self.count = self.ranked.count
        self.ranked.passed({rank for share in SHARES for rank in ranks_asked(self.count, share)})

    def scatter(self, key: str, *, plain: bool) -> ResultScatter:
        values = self.ranked.values
        found = (quantile_of_ranks(values, self.count, share) for share in SHARES)
        return ResultScatter(
            key=key,
            name=JUDGED[key],
            flights=self.count,
            mean=float(self.total / self.count),
            quantiles=tuple(one if plain else _without_bounds(one) for one in found),
        )


def _scatters(flown: FlownCampaign) -> Iterator[ResultScatter]:
    columns = {key: _Column() for key in JUDGED}
    for key, finite in _all_finite(flown, tuple(columns)):
        columns[key].ranked.add(finite)
        columns[key].total += finite.sum(dtype=np.longdouble)
    for column in columns.values():
        column.counted()
    there = {key: column for key, column in columns.items() if column.count}
    for _ in range(PASSES - 1):
        for key, finite in _all_finite(flown, tuple(there)):
            there[key].ranked.add(finite)
        for column in there.values():
            column.ranked.passed()
    for key, column in there.items():
        yield column.scatter(key, plain=flown.design == PLAIN)


def _all_finite(flown: FlownCampaign, keys: Sequence[str]) -> Iterator[tuple[str, NDArray[np.float64]]]:
    for piece in flown.pieces(_READ, most=_AT_ONCE):
        values = _Values(piece)
        for key in keys:
            yield key, _finite(values[key])


def _finite(column: NDArray[np.float64]) -> NDArray[np.float64]:
    return column[np.isfinite(column)]


def _without_bounds(found: Quantile) -> Quantile:
    return Quantile(share=found.share, value=found.value, low=None, high=None)


class _Counted:
    """How often what happened, and how far and hard those came down that did not end as meant."""

    def __init__(self, flown: FlownCampaign, spot: Spot) -> None:
        self._odds: dict[Asked, int] = {}
        self._failures: dict[str, list[Failure]] = {}
        for piece in flown.pieces(_READ, most=_AT_ONCE, failed=True):
            for asked, which in happened(piece, spot):
                self._odds[asked] = self._odds.get(asked, 0) + int(which.sum())
            for one in _failed(piece):
                self._failures.setdefault(one.what, []).append(one)

    def odds(self, flown: FlownCampaign) -> tuple[Odds, ...]:
        plain = flown.design == PLAIN
        return tuple(odds(asked, count, flown.count, plain=plain) for asked, count in self._odds.items())

    def failures(self) -> Iterator[Failure]:
        endings = [what for what in ENDINGS.values() if what in self._failures]
        for what in (*endings, *(one for one in self._failures if one not in endings)):
            parts = self._failures[what]
            yield Failure(
                what=what,
                flights=sum(one.flights for one in parts),
                farthest_m=max((one.farthest_m for one in parts if one.farthest_m is not None), default=None),
                fastest_m_s=max(
                    (one.fastest_m_s for one in parts if one.fastest_m_s is not None), default=None
                ),
            )


def counted_odds(flown: FlownCampaign, spot: Spot) -> tuple[Odds, ...]:
    """Count how flights end, most feared first."""
    return _Counted(flown, spot).odds(flown)


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


def ellipse_of_flights(flown: FlownCampaign) -> Ellipse | None:
    """Ellipse of all landing points, piece by piece; ``None`` as of :func:`ellipse_or_none`."""

    def landings() -> Iterator[NDArray[np.float64]]:
        for piece in flown.pieces((*_ENDS, *LANDINGS), most=_AT_ONCE):
            yield piece.landings_m(sound=True)

    try:
        return ellipse_of(landings)
    except OutsideRange:
        return None


def _failed(piece: SomeFlights) -> Iterator[Failure]:
    values, ended = _Values(piece), piece.results["ended"]
    far, fast = values["drift_m"], values["landing_speed_m_s"]
    which = {ENDINGS[int(code)]: ended == code for code in np.unique(ended[~piece.landed])}
    for what, those in (*which.items(), *((one.name, which) for one, which in piece.failed.items())):
        yield _failure(what, int(those.sum()), far[those], fast[those])


def _failure(what: str, flights: int, far: NDArray[np.float64], fast: NDArray[np.float64]) -> Failure:
    landed = np.isfinite(far)
    return Failure(
        what=what,
        flights=flights,
        farthest_m=float(far[landed].max()) if landed.any() else None,
        fastest_m_s=float(fast[landed].max()) if landed.any() else None,
    )


def _decided(flown: FlownCampaign) -> Iterator[tuple[str, Decided]]:
    first = flown.first(len(flown.drawn))
    values = _Values(first)
    for key in TRACED_BACK:
        try:
            yield key, decided(values[key], flown.drawn, flown.draws)
        except OutsideRange:
            continue
