"""Pin the examples' main numbers: ``python tests/golden/remake.py``, then tell CHANGELOG.md what moved."""

import json
from pathlib import Path

from finial.findings.check import check
from finial.findings.readiness import Readiness

HERE = Path(__file__).parent
EXAMPLES = HERE.parents[1] / "examples"
PINNED = HERE / "examples.json"
NAMES = ("skerry-light", "phone-box", "pagoda", "buoy-tiers")


def main_numbers(answer: Readiness) -> dict[str, float | str]:
    """Return what a builder would notice if it moved."""
    worst = min(answer.stability, key=lambda point: point.margin.low)
    held = [row.reserve.low for row in answer.strength.reserves if row.reserve is not None]
    return {
        "verdict": answer.verdict.words,
        "lift_off_mass_kg": answer.mass.lift_off.mass_kg,
        "balance_m": answer.mass.lift_off.station_m,
        "reference_area_m2": answer.shape.skin.reference_area_m2,
        "volume_m3": answer.shape.skin.volume_m3,
        "pressure_forward_m": float(answer.air.pressure_forward_m.min()),
        "pressure_aft_m": float(answer.air.pressure_aft_m.max()),
        "drag_coefficient": sum(row.coefficient.value for row in answer.air.drag_rows),
        "worst_margin_m": worst.margin.low,
        "rail_exit_speed_m_s": answer.flight.rail.speed.value,
        "apogee_agl_m": answer.flight.apogee_agl.value,
        "drift_m": answer.flight.drift.value,
        "least_reserve": min(held),
        "landing_speed_m_s": answer.recovery.landing_speed.value if answer.recovery.landing_speed else 0.0,
        "cord_peak_n": max((cord.peak_load.value for cord in answer.recovery.cords), default=0.0),
    }


def numbers_of(name: str) -> dict[str, float | str]:
    """Check one example."""
    return main_numbers(check(EXAMPLES / name / f"{name}.toml"))


if __name__ == "__main__":
    pinned = {name: numbers_of(name) for name in NAMES}
    PINNED.write_text(json.dumps(pinned, indent=1) + "\n", encoding="utf-8")
