"""What the quick look would say with another mass, balance or wind: asked ahead, for the field."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product

from finial.assemble.vehicle.changes import Changes, reread
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.core.errors import BuildSheetError
from finial.core.estimates import Estimate
from finial.findings.check import Tell, readiness, silent
from finial.findings.finding import Finding, Verdict
from finial.findings.long_looks import left_open
from finial.findings.range_stage import codes_of
from finial.findings.readiness import Depth, Readiness

LEAST_SHARE = 0.01
"""Least step of mass and balance, of the mass and of the length, where they are known better."""
WINDS_M_S = (0.0, 2.0, 4.0, 6.0, 8.0)
SCALE_KG, CORD_M = 0.01, 0.003
"""How well a scale and a cord on the field tell mass and balance [kg], [m]; common practice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WhatIf:
    """One mass, balance and wind, and what fails in it."""

    verdict: Verdict
    """Worst of what the quick look judges; what only a longer look decides is left out."""
    fails: tuple[Finding, ...]
    least_margin_m: float | None
    """At its bad end; ``None`` where none is known."""
    slowest_exit_m_s: float | None
    farthest_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class WhatIfTable:
    """Every combination of three rising lists; masses are of the whole with its motor, loaded."""

    masses_kg: tuple[float, ...]
    balances_m: tuple[float, ...]
    """Stations."""
    winds_m_s: tuple[float, ...]
    """At 10 m, with the sheet's own tolerance."""
    cells: tuple[WhatIf | None, ...]
    """Winds fastest, then balances, then masses; ``None`` for what no vehicle can weigh."""


def what_if(vehicle: LoadedVehicle, base: Readiness, tell: Tell = silent) -> WhatIfTable:
    """Ask the quick look for every mass, balance and wind around those of the sheet."""
    length = base.shape.skin.length_m
    masses = _around(base.mass.lift_off_mass, LEAST_SHARE * base.mass.lift_off_mass.value, 2)
    balances = _around(base.mass.lift_off_balance, LEAST_SHARE * length, 3)
    tell(f"asking the quick look {len(masses) * len(balances) * len(WINDS_M_S)} times")
    return WhatIfTable(
        masses_kg=masses,
        balances_m=balances,
        winds_m_s=WINDS_M_S,
        cells=tuple(_cells(vehicle, masses, balances)),
    )


def _around(known: Estimate, least: float, digits: int) -> tuple[float, ...]:
    """Value, both ends, and as far again beyond them: there a weighing contradicts the sum of the parts."""
    low, high = min(known.low, known.value - least), max(known.high, known.value + least)
    five = (2 * low - known.value, low, known.value, high, 2 * high - known.value)
    return tuple(round(one, digits) for one in five)


def _cells(
    vehicle: LoadedVehicle, masses_kg: tuple[float, ...], balances_m: tuple[float, ...]
) -> Iterator[WhatIf | None]:
    for mass, balance in product(masses_kg, balances_m):
        try:
            weighed = reread(vehicle, _weighing(mass, balance), codes_of)
        except BuildSheetError:
            yield from (None for _ in WINDS_M_S)
            continue
        for wind in WINDS_M_S:
            yield _cell(weighed, wind)


def _weighing(mass_kg: float, balance_m: float) -> Changes:
    return {
        ("weighing",): {
            "motor": "loaded",
            "mass": f"{mass_kg:.3f} kg +- {SCALE_KG:g} kg",
            "balance": f"{balance_m:.4f} m +- {CORD_M:g} m",
        }
    }


def _cell(vehicle: LoadedVehicle, wind_m_s: float) -> WhatIf:
    tolerance = vehicle.sheet.launch.wind.tolerance
    written = f"{wind_m_s:g} m/s" + (f" +- {tolerance:g} m/s" if tolerance else "")
    found = readiness(vehicle, {("launch", "wind"): written}, depth=Depth.QUICK)
    judged = [one for one in found.findings if not left_open(one)]
    exit_speed = found.flight.rail_exit_speed
    return WhatIf(
        verdict=max((one.verdict for one in judged), default=Verdict.NOT_KNOWN),
        fails=tuple(one for one in judged if one.fails),
        least_margin_m=min((one.margin.low for one in found.stability), default=None),
        slowest_exit_m_s=exit_speed.low if exit_speed else None,
        farthest_m=found.flight.drift.high,
    )
