"""A search begins with the design that the sheet has, so that one that goes already is never missed."""

import math
from collections.abc import Iterator, Sequence
from pathlib import Path

import pytest

from finial.assemble.vehicle.changes import changed
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.findings.check import load
from finial.findings.design_judge import judge_design
from finial.sizing.judged import Judged
from finial.sizing.search import Search, best_go
from finial.sizing.today import today
from finial.sizing.usual import usual_variables
from finial.sizing.variables import Variable, changing, choosing

LIGHTHOUSE = Path(__file__).parents[2] / "examples" / "skerry-light" / "skerry-light.toml"


@pytest.fixture(scope="module")
def vehicle() -> LoadedVehicle:
    return load(LIGHTHOUSE)


def variable(kind: str, name: str = "", low: float = 0.0, high: float = 900.0) -> Variable:
    return Variable(kind=kind, name=name, low=low, high=high)


def test_the_point_is_what_the_sheet_says(vehicle: LoadedVehicle) -> None:
    sheet = vehicle.sheet
    item, fin, canopy, rod = sheet.item[0], sheet.fin[0], sheet.recovery.canopy[0], sheet.rod[0]
    assert rod.preload is not None
    varied = [
        variable("ballast", item.name),
        variable("span", fin.name),
        variable("station", fin.name),
        variable("count", fin.name),
        variable("rail"),
        variable("canopy", canopy.name),
        variable("walls"),
        variable("preload", rod.thread),
        variable("charge", sheet.recovery.bay[0].name),
        choosing("thread", rod.thread, ["M3", rod.thread]),
        choosing("motor", "", ["weaker.csv", "other.csv", sheet.motor.data]),
    ]
    assert today(vehicle, varied) == (
        item.mass.value,
        1.0,
        fin.station.value,
        fin.count,
        sheet.launch.rail_length.value,
        canopy.diameter.value,
        1.0,
        rod.preload.value,
        1.0,
        1.0,
        2.0,
    )


def test_what_the_sheet_lacks_begins_at_the_low_end(vehicle: LoadedVehicle) -> None:
    lacking = [
        variable("ballast", "no such thing", 0.3),
        choosing("thread", vehicle.sheet.rod[0].thread, ["M3", "M20"]),
    ]
    assert today(vehicle, lacking) == (0.3, 0.0)


def test_it_writes_the_vehicle_as_it_is(vehicle: LoadedVehicle) -> None:
    usual = usual_variables(vehicle)
    assert len(usual) >= 4
    written = changing(vehicle, usual)(today(vehicle, usual))
    again = changed(vehicle, written)
    assert again.sheet.launch.rail_length.value == pytest.approx(vehicle.sheet.launch.rail_length.value)
    assert again.sheet.motor == vehicle.sheet.motor
    assert [one.diameter.value for one in again.sheet.recovery.canopy] == pytest.approx(
        [one.diameter.value for one in vehicle.sheet.recovery.canopy], abs=1e-4
    )
    as_it_is, begun = judge_design(vehicle, {}), judge_design(vehicle, written)
    assert begun.is_go == as_it_is.is_go
    assert begun.mass_kg == pytest.approx(as_it_is.mass_kg, rel=1e-4)


def needle(points: Sequence[tuple[float, ...]]) -> Iterator[Judged]:
    """Nothing goes but what lies within a hundredth of one place."""
    for point in points:
        off = math.dist(point, (0.31, 0.62))
        yield Judged(mass_kg=1.0 + off, missing=0.0 if off < 0.01 else 1.0, is_go=off < 0.01)


@pytest.mark.parametrize("start", [(), (0.31, 0.62)])
def test_a_design_that_goes_is_never_missed(tmp_path: Path, start: tuple[float, ...]) -> None:
    varied = (variable("canopy", "one", 0.01, 10.0), variable("canopy", "two", 0.01, 10.0))
    asked = Search(variables=varied, generations=1, start=start)
    found = best_go(asked, needle, tmp_path / "judged.jsonl")
    assert found.judged.is_go == bool(start)
    assert not start or found.point == start


def test_a_start_outside_the_ends_begins_at_them(tmp_path: Path) -> None:
    asked = Search(variables=(variable("rail", "", 1.0, 2.0),), generations=1, start=(5.0,))
    seen: list[float] = []

    def judge(points: Sequence[tuple[float, ...]]) -> Iterator[Judged]:
        for point in points:
            seen.append(point[0])
            yield Judged(mass_kg=point[0], missing=0.0, is_go=True)

    best_go(asked, judge, tmp_path / "judged.jsonl")
    assert seen[0] == 2.0
    assert max(seen) <= 2.0
