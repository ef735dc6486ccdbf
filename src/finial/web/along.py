"""Loads and reserves along the body, for curves under its side view with one cursor for all."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.assemble.strength.results import CaseLoads, StationReserves
from finial.findings.limits import Limits
from finial.findings.readiness import Readiness
from finial.report.pictures.axis_units import FORCE, MOMENT, SHORT, chosen
from finial.report.strength_words import mode_words
from finial.report.wording.strength import case_words

_STATIONS = 121
_MOST_RESERVE = 100.0
"""Shown as no more: the load is next to nothing there."""
Curve = list[float | None]


@dataclass(frozen=True, slots=True, kw_only=True)
class AlongCase:
    """Loads along the body in one case; null where that case has no such station."""

    name: str
    axial: Curve
    """Compression positive."""
    shear: Curve
    bending: Curve


@dataclass(frozen=True, slots=True, kw_only=True)
class AlongBody:
    """Curves over common stations, in the builder's units."""

    length_unit: str
    force_unit: str
    moment_unit: str
    stations: list[float]
    upper: Curve
    """Outline seen from the side, the axis at zero."""
    lower: Curve
    cases: tuple[AlongCase, ...]
    """The one that bends most first."""
    reserve: Curve
    """Worst of all cases at its low end; null where nobody knows, or nothing was judged."""
    needed: float
    reserve_by: tuple[str, ...]
    """What gives way first there, and in which case."""
    looked_long: bool
    """False where only the quick look's cases are in it."""
    sentence: str


def along_body(readiness: Readiness) -> AlongBody:
    """Put every curve on the same stations."""
    us, skin = readiness.us_units, readiness.shape.skin
    strength = readiness.strength_looked
    short, force, moment = chosen(SHORT, us), chosen(FORCE, us), chosen(MOMENT, us)
    at_m = np.linspace(0.0, skin.length_m, _STATIONS)
    cases = sorted(strength.cases, key=lambda case: -float(np.abs(case.bending_n_m).max(initial=0.0)))
    stations_m, low_m, high_m = _outline(readiness)
    reserve, by = _reserves(strength.by_station, at_m)
    return AlongBody(
        length_unit=short.name,
        force_unit=force.name,
        moment_unit=moment.name,
        stations=[round(float(station) * short.per_si, 2) for station in at_m],
        upper=_curve(np.interp(at_m, stations_m, high_m), short.per_si),
        lower=_curve(np.interp(at_m, stations_m, low_m), short.per_si),
        cases=tuple(_case(case, at_m, force.per_si, moment.per_si) for case in cases),
        reserve=reserve,
        needed=Limits(own=readiness.own_limits)["reserve"].value,
        reserve_by=by,
        looked_long=readiness.strength_study is not None,
        sentence=_sentence(cases, moment.per_si, moment.name),
    )


def _sentence(cases: list[CaseLoads], per_si: float, unit: str) -> str:
    if not cases:
        return "No loads along the body are known."
    worst = cases[0]
    where = int(np.abs(worst.bending_n_m).argmax())
    peak = abs(float(worst.bending_n_m[where])) * per_si
    return f"It is bent most by {peak:.3g} {unit}, in the case {case_words(worst.case)}."


def _outline(readiness: Readiness) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    """Stations, and how far the hull reaches to either side of the axis there."""
    cuts = [section for section in readiness.shape.skin.sections if section.loops]
    across = [np.concatenate([loop[:, 0] for loop in cut.loops]) for cut in cuts]
    return (
        np.array([cut.station_m for cut in cuts]),
        np.array([float(one.min()) for one in across]),
        np.array([float(one.max()) for one in across]),
    )


def _case(case: CaseLoads, at_m: NDArray[np.float64], per_force: float, per_moment: float) -> AlongCase:
    def curve(values: NDArray[np.float64], per_si: float) -> Curve:
        # Some cases load one half of the body only: beyond its ends there is nothing to show.
        return _curve(np.interp(at_m, case.stations_m, values, left=np.nan, right=np.nan), per_si)

    return AlongCase(
        name=case_words(case.case),
        axial=curve(case.axial_n, per_force),
        shear=curve(case.shear_n, per_force),
        bending=curve(case.bending_n_m, per_moment),
    )


def _reserves(found: StationReserves | None, at_m: NDArray[np.float64]) -> tuple[Curve, tuple[str, ...]]:
    """Give each station the reserve of the judged one nearest to it; beyond the judged ends none."""
    if found is None or len(found.stations_m) == 0:
        return [None] * len(at_m), ("",) * len(at_m)
    nearest = np.abs(at_m[:, None] - found.stations_m[None, :]).argmin(axis=1)
    outside = (at_m < found.stations_m.min() - 1e-9) | (at_m > found.stations_m.max() + 1e-9)
    values = np.where(outside, np.nan, np.minimum(found.reserves[nearest], _MOST_RESERVE))
    by = tuple("" if away else _by(found, int(index)) for index, away in zip(nearest, outside, strict=True))
    return _curve(values, 1.0), by


def _by(found: StationReserves, index: int) -> str:
    mode, case = found.modes[index], found.cases[index]
    return "not known" if mode is None or case is None else f"{mode_words(mode)}, {case_words(case)}"


def _curve(values: NDArray[np.float64], per_si: float) -> Curve:
    return [round(float(one) * per_si, 3) if math.isfinite(one) else None for one in values]
