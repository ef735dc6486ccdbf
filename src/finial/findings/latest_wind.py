"""The strongest wind that still is go: the quick look, asked again wind by wind."""

from dataclasses import dataclass

from finial.assemble.vehicle.loading import LoadedVehicle
from finial.findings.check import Tell, readiness, silent
from finial.findings.finding import Finding
from finial.findings.long_looks import left_open
from finial.findings.readiness import Depth

STEP_M_S = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class LatestWind:
    """The strongest mean wind in which no more fails than in a calm, and what fails beyond it."""

    wind_m_s: float
    """[m/s]; no go by itself where something fails in a calm already."""
    tolerance_m_s: float
    """How far off it may be, as the sheet's own wind [m/s]."""
    in_a_calm: tuple[Finding, ...]
    """What fails whatever the wind."""
    then_fails: tuple[Finding, ...]
    """What fails besides in the next stronger wind that was tried; empty at the code's largest."""
    most_m_s: float
    """Largest wind that the code allows [m/s]."""


def latest_wind(vehicle: LoadedVehicle, most_m_s: float, tell: Tell = silent) -> LatestWind:
    """Ask the quick look in one wind after another, from a calm to the largest that the code allows.

    The wind keeps the tolerance of the sheet's. What only a longer look decides is left out: a wind
    found here is one to check in full, not a go.
    """
    tolerance = vehicle.sheet.launch.wind.tolerance
    calm = _fails(vehicle, 0.0, tolerance)
    usual = {(one.key, one.subject) for one in calm}
    last, then = 0.0, tuple[Finding, ...]()
    for step in range(1, int(most_m_s / STEP_M_S) + 1):
        tell(f"a wind of {step * STEP_M_S:g} m/s")
        found = _fails(vehicle, step * STEP_M_S, tolerance)
        then = tuple(one for one in found if (one.key, one.subject) not in usual)
        if then:
            break
        last = step * STEP_M_S
    return LatestWind(
        wind_m_s=last, tolerance_m_s=tolerance, in_a_calm=calm, then_fails=then, most_m_s=most_m_s
    )


def _fails(vehicle: LoadedVehicle, wind_m_s: float, tolerance_m_s: float) -> tuple[Finding, ...]:
    written = f"{wind_m_s:g} m/s" + (f" +- {tolerance_m_s:g} m/s" if tolerance_m_s else "")
    found = readiness(vehicle, {("launch", "wind"): written}, depth=Depth.QUICK)
    return tuple(one for one in found.findings if one.fails and not left_open(one))
