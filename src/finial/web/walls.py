"""What walls, rods and joints have left along the hull: stretches to tint, weakest places in words."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.assemble.strength.results import StationReserves
from finial.core.dimensions import Dimension
from finial.core.units import show
from finial.findings.limits import Limits
from finial.findings.readiness import Readiness
from finial.report.strength_words import mode_words
from finial.report.wording.strength import case_words

BAND_EDGES = (1.0, 1.5, 3.0, 6.0)
BAND_WORDS = ("under 1: more load than strength", "1 to 1.5", "1.5 to 3", "3 to 6", "6 and more")
_MOST_PLACES = 4
_MOST_GAPS = 3
_MOST_SHOWN = 100.0
_ALONE_REACH = 0.05
"""A station with no neighbour speaks for this share of the length on either side."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WallStretch:
    """Part of the hull with reserves in one band; ``band`` counts from the weakest, ``None``: not known."""

    from_m: float
    to_m: float
    band: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class WeakPlace:
    """Where one way to fail in one case leaves least, in the builder's units."""

    station_m: float
    where: str
    what: str
    case: str
    reserve: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PageWalls:
    """Everything the page shows of the reserves along the hull."""

    bands: tuple[str, ...]
    stretches: tuple[WallStretch, ...]
    weakest: tuple[WeakPlace, ...]
    """Worst first; each way to fail in each case once."""
    unknown: str
    sentence: str


def walls(readiness: Readiness) -> PageWalls:
    """Return the reserves along the hull, of the worst case at each station."""
    found, length_m, us = (
        readiness.strength_looked.by_station,
        readiness.shape.skin.length_m,
        readiness.us_units,
    )
    stretches = _stretches(found, length_m)
    weakest = _weakest(found, us_units=us)
    return PageWalls(
        bands=BAND_WORDS,
        stretches=stretches,
        weakest=weakest[:_MOST_PLACES],
        unknown=_unknown(stretches, us_units=us),
        sentence=_sentence(weakest, _limit(readiness), whole=readiness.strength_study is not None),
    )


def _stretches(found: StationReserves | None, length_m: float) -> tuple[WallStretch, ...]:
    """Let each station speak half-way to its neighbours; where none is near, nobody knows."""
    pieces: list[tuple[float, float, int | None]] = []
    reached = 0.0
    if found is not None:
        for (low, high), reserve in zip(_spans(found.stations_m, length_m), found.reserves, strict=True):
            pieces += [(reached, low, None), (low, high, _band(float(reserve)))]
            reached = high
    pieces.append((reached, length_m, None))
    return _joined(pieces)


def _spans(stations_m: NDArray[np.float64], length_m: float) -> list[tuple[float, float]]:
    gaps = np.diff(stations_m)
    # A gap wider than two usual ones was not judged, or the walls there are of no printed part.
    reach = float(np.median(gaps)) if len(gaps) else _ALONE_REACH * length_m
    between = (stations_m[:-1] + stations_m[1:]) / 2
    low = np.maximum(np.concatenate([[0.0], between]), stations_m - reach)
    high = np.minimum(np.concatenate([between, [length_m]]), stations_m + reach)
    return list(zip(low.tolist(), high.tolist(), strict=True))


def _band(reserve: float) -> int | None:
    return None if np.isnan(reserve) else int(np.searchsorted(BAND_EDGES, reserve, side="right"))


def _joined(pieces: list[tuple[float, float, int | None]]) -> tuple[WallStretch, ...]:
    joined: list[WallStretch] = []
    for low, high, band in pieces:
        from_m, to_m = round(low, 4), round(high, 4)
        if to_m <= from_m:
            continue
        if joined and joined[-1].band == band:
            from_m = joined.pop().from_m
        joined.append(WallStretch(from_m=from_m, to_m=to_m, band=band))
    return tuple(joined)


def _weakest(found: StationReserves | None, *, us_units: bool) -> tuple[WeakPlace, ...]:
    least: dict[tuple[str, str], tuple[float, float]] = {}
    if found is not None:
        rows = zip(found.reserves.tolist(), found.stations_m.tolist(), found.modes, found.cases, strict=True)
        for reserve, station, mode, judged in rows:
            what, case = mode_words(mode), case_words(judged)
            if not np.isnan(reserve):
                least[what, case] = min(least.get((what, case), (reserve, station)), (reserve, station))
    return tuple(
        WeakPlace(
            station_m=round(station, 4),
            where=show(station, Dimension.LENGTH, us_units),
            what=what,
            case=case,
            reserve=_reserve_words(reserve),
        )
        for (what, case), (reserve, station) in sorted(least.items(), key=lambda entry: entry[1])
    )


def _reserve_words(reserve: float) -> str:
    if reserve > _MOST_SHOWN:
        return f"over {_MOST_SHOWN:.0f}"
    return f"{reserve:.2f}" if reserve < 10 else f"{reserve:.0f}"


def _unknown(stretches: tuple[WallStretch, ...], *, us_units: bool) -> str:
    blank = [stretch for stretch in stretches if stretch.band is None]
    if not blank:
        return ""
    ends = [
        f"{show(one.from_m, Dimension.LENGTH, us_units)} to {show(one.to_m, Dimension.LENGTH, us_units)}"
        for one in blank[:_MOST_GAPS]
    ]
    more = f" and {len(blank) - _MOST_GAPS} more" if len(blank) > _MOST_GAPS else ""
    return f"Not known aft of the tip: {', '.join(ends)}{more}. Not known never counts as go."


def _limit(readiness: Readiness) -> str:
    """Return the limit on reserves in words, as the findings judged it."""
    return f"at least {Limits(own=readiness.own_limits)['reserve'].value:g}"


def _sentence(weakest: tuple[WeakPlace, ...], least: str, *, whole: bool) -> str:
    if not weakest:
        return "What walls, rods and joints have left is not known anywhere along the hull."
    worst = weakest[0]
    looked = "" if whole else "; of the quick look's cases"
    asked = f" The check asks for {least}." if least else ""
    return (
        f"Walls, rods and joints have least left {worst.where} aft of the tip: {worst.reserve} times the load"
        f" ({worst.what}, {worst.case}{looked}).{asked}"
    )
