"""What the picture shows: where it balances, where the wind pushes, what the walls have left, the fins."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.assemble.stability.results import StabilityPoint
from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate
from finial.core.kept_parts import kept
from finial.core.units import show
from finial.findings.finding import overall
from finial.findings.readiness import Readiness
from finial.shape.fin_set import FinSet
from finial.web.numbers import worst_point
from finial.web.walls import PageWalls, walls
from finial.web.words import PageVerdict, page_verdict

_MOST_STATIONS = 256


@dataclass(frozen=True, slots=True, kw_only=True)
class Reach:
    """An interval [m]."""

    value: float
    low: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Plates:
    """One fin set as flat plates, SI units."""

    name: str
    outline_m: list[tuple[float, float]]
    station_m: float
    root_radius_m: float
    offset_m: tuple[float, float]
    count: int
    first_at_rad: float
    thickness_m: float
    cant_rad: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LoadCurve:
    """Sideways push of the wind along the bare hull, over its largest size; equal only to itself."""

    stations_m: list[float]
    share: list[float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Labels:
    """Words beside the marks."""

    balance: str
    pressure: str
    margin: str
    verdict: PageVerdict
    """Worst verdict on stability, which colours the margin."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """Everything drawn besides the hull."""

    length_m: float
    across_m: float
    balance_m: Reach
    pressure_m: Reach
    fins: tuple[Plates, ...]
    load: LoadCurve
    walls: PageWalls
    labels: Labels
    sentence: str


def picture(readiness: Readiness) -> Picture:
    """Return the picture at the moment with the smallest margin."""
    point = worst_point(readiness)
    return Picture(
        length_m=readiness.shape.skin.length_m,
        across_m=max(readiness.shape.across_m),
        balance_m=_ends(point.balance),
        pressure_m=_ends(point.pressure),
        fins=tuple(_plates(fin) for fin in readiness.shape.fins),
        load=_load(readiness.air.load_stations_m, readiness.air.load_per_m),
        walls=walls(readiness),
        labels=_labels(readiness, point),
        sentence=_sentence(point, us_units=readiness.us_units),
    )


def _labels(readiness: Readiness, point: StabilityPoint) -> Labels:
    us_units = readiness.us_units
    margin = show(point.margin.low, Dimension.LENGTH, us_units)
    verdict = overall(finding for finding in readiness.findings if finding.stage == "stability")
    return Labels(
        balance=show(point.balance.value, Dimension.LENGTH, us_units),
        pressure=_span(point.pressure, us_units),
        margin=f"margin {margin}, bad end",
        verdict=page_verdict(verdict),
    )


def _sentence(point: StabilityPoint, *, us_units: bool) -> str:
    balance = show(point.balance.value, Dimension.LENGTH, us_units)
    margin = show(abs(point.margin.low), Dimension.LENGTH, us_units)
    widths = f"{abs(point.margin.low) / point.width_m:.2f} widths"
    side = "behind" if point.margin.low > 0 else "ahead of"
    return (
        f"At {point.moment} it balances {balance} aft of the tip and the wind pushes somewhere from"
        f" {_span(point.pressure, us_units)}: at the bad end {margin} ({widths}) {side} the balance point."
    )


def _span(band: Estimate, us_units: bool) -> str:
    low, high = (show(end, Dimension.LENGTH, us_units) for end in (band.low, band.high))
    number, _, unit = low.partition(" ")
    return f"{number} to {high}" if high.endswith(f" {unit}") else f"{low} to {high}"


def _ends(estimate: Estimate) -> Reach:
    return Reach(value=estimate.value, low=estimate.low, high=estimate.high)


def _plates(fin: FinSet) -> Plates:
    return Plates(
        name=fin.name,
        outline_m=[(float(along), float(outward)) for along, outward in fin.outline_m],
        station_m=fin.station_m,
        root_radius_m=fin.root_radius_m,
        offset_m=fin.offset_m,
        count=fin.count,
        first_at_rad=fin.first_at_rad,
        thickness_m=fin.thickness_m,
        cant_rad=fin.cant_rad,
    )


# The bare hull meets the wind alike whatever is carried in it and whatever stands out from it.
@kept(4)
def _load(stations_m: NDArray[np.float64], load_per_m: NDArray[np.float64]) -> LoadCurve:
    largest = float(np.abs(load_per_m).max()) or 1.0
    drawn = np.unique(np.linspace(0, len(stations_m) - 1, _MOST_STATIONS).round().astype(int))
    return LoadCurve(
        stations_m=stations_m[drawn].round(5).tolist(),
        share=(load_per_m[drawn] / largest).round(4).tolist(),
    )
