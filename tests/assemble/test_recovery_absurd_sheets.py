"""Sheets that once passed: a vent as large as the bay, a height above the top, pins that nothing breaks."""

from dataclasses import replace
from pathlib import Path

import pytest

from finial.assemble.looks.answer import answer
from finial.assemble.vehicle.loading import load_vehicle
from finial.files.sheet_recovery import RecoveryEntry
from finial.findings.finding import Finding, Verdict
from finial.findings.limits import Limits
from finial.findings.rules.recovery_rules import recovery_findings
from finial.flight.fly import make_ready
from finial.report.finding_words import title

SKERRY = Path(__file__).parents[2] / "examples" / "skerry-light" / "skerry-light.toml"


@pytest.fixture(scope="module")
def vehicle():
    make_ready()
    return load_vehicle(SKERRY, lambda _note: None)


def judged(vehicle, recovery: dict) -> dict[str, Finding]:
    """Findings on the lighthouse with another recovery table."""
    given = RecoveryEntry.model_validate(recovery)
    sheet = vehicle.sheet.model_copy(
        update={"recovery": given, "electronics": type(vehicle.sheet.electronics)()}
    )
    found = answer(replace(vehicle, sheet=sheet))
    return {title(one): one for one in recovery_findings(found.recovery, Limits(own={}))}


def table(**bay: str) -> dict:
    """A plain recovery, like that of the example."""
    return {
        "joint": [
            {"name": "top joint", "station": "295 mm", "pins": {"screw": "M2 nylon", "count": 2}},
        ],
        "bay": [
            {
                "name": "top bay",
                "joint": "top joint",
                "stations": ["300 mm", "660 mm"],
                "diameter": "76 mm",
                "round_tube": True,
                "free_volume": "1.15 l +- 0.1 l",
                "vent_area": "12 mm2",
                **bay,
            }
        ],
        "canopy": [
            {
                "name": "main",
                "bay": "top bay",
                "kind": "flat circular",
                "diameter": "4 m",
                "diameter_measures": "nominal",
                "event": "apogee",
                "delay": "0.5 s",
                "mass": "380 g",
                "station": "400 mm",
            }
        ],
        "charge": [{"name": "top charge", "bay": "top bay", "powder": "0.8 g", "event": "apogee"}],
    }


def test_a_vent_as_large_as_a_plate_is_no_go(vehicle) -> None:
    name = "top charge opens top bay"
    assert judged(vehicle, table())[name].verdict is Verdict.GO
    assert judged(vehicle, table(vent_area="1200 cm2"))[name].verdict is Verdict.NO_GO


def test_a_height_above_the_top_is_told(vehicle) -> None:
    high = table()
    high["canopy"][0]["event"] = {"falling_through": "900 m"}
    low = table()
    low["canopy"][0]["event"] = {"falling_through": "200 m"}
    assert judged(vehicle, high)["main waits for its height"].verdict is Verdict.CAUTION
    assert "main waits for its height" not in judged(vehicle, low)
