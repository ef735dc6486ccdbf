"""Whole answers on the coldest and the hottest day: each says what the day does, and none ends in a fault."""

from pathlib import Path

import pytest

from finial.assemble.vehicle.changes import changed
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.core.units import Dimension, parse_quantity
from finial.findings.check import load, readiness
from finial.findings.finding import Verdict
from finial.findings.readiness import Readiness
from finial.structure.reserves import FailureMode

EXAMPLES = Path(__file__).parents[2] / "examples"
MODE = FailureMode.WALL_WRINKLES


@pytest.fixture(scope="module", params=["skerry-light", "pagoda"])
def vehicle(request: pytest.FixtureRequest) -> LoadedVehicle:
    return load(EXAMPLES / request.param / f"{request.param}.toml")


def on_a_day(vehicle: LoadedVehicle, temperature: str, black: str = "") -> Readiness:
    """Answer for a day, of all outside parts printed black in a plastic where one is given."""
    changes = {("launch", "temperature"): parse_quantity(temperature, Dimension.TEMPERATURE)}
    if black:
        changes[("vehicle", "colour")] = "black"
        changes |= {("part", k, "material"): black for k, part in enumerate(vehicle.sheet.part) if part.print}
    return readiness(changed(vehicle, changes))


def failing(found: Readiness) -> set[str]:
    return {finding.key for finding in found.findings if finding.fails}


def test_thirty_degrees_of_frost_leave_no_preload(vehicle: LoadedVehicle) -> None:
    found = on_a_day(vehicle, "-30 degC")
    assert found.strength_study is not None
    assert all(row.day_n.low == 0.0 for row in found.strength_study.preloads)
    assert all(row.cold_n.high < row.tightened_n.low for row in found.strength_study.preloads)
    # Cells hold less and lend less: nobody knows whether they fire.
    assert {"pad-time", "firing-current"} <= failing(found)
    # Rods alone hold the pagoda's storeys; the lighthouse's tower is glued.
    assert ("joint-opens" in failing(found)) == (vehicle.sheet.vehicle.name == "Pagoda")


def test_hot_black_pla_is_no_go_by_its_warmth(vehicle: LoadedVehicle) -> None:
    found = on_a_day(vehicle, "40 degC", "PLA")
    assert found.verdict is Verdict.NO_GO
    warm = [one for one in found.findings if one.cause == "warm-plastic" and one.verdict > Verdict.GO]
    assert "soft-in-the-sun" in {one.key for one in warm}
    assert found.findings[0].key == "soft-in-the-sun"
    # One finding of one cause: at most one each of what softens and of what holds only in a cool room.
    assert len({one.key for one in warm}) <= 3


def test_fifty_degrees_are_answered(vehicle: LoadedVehicle) -> None:
    warm, mild = on_a_day(vehicle, "50 degC"), on_a_day(vehicle, "22 degC")
    assert warm.strength_study is not None
    assert mild.strength_study is not None
    wrinkles = [
        min(row.reserve.low for row in look.strength_study.reserves if row.mode is MODE and row.reserve)
        for look in (warm, mild)
    ]
    assert wrinkles[0] < 0.8 * wrinkles[1]
    assert warm.verdict is not Verdict.GO
    assert {"holds-when-warm", "batteries-warm"} <= failing(warm)
