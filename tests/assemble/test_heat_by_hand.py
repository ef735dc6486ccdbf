"""Warm walls and what a day does to rods, on paper."""

from types import SimpleNamespace

import pytest
from made_by_hand import about, quantity

from finial.assemble.mass import rows as mass
from finial.assemble.strength import buttons, heat
from finial.assemble.strength.cold import cold_cases
from finial.assemble.strength.fins import build
from finial.assemble.strength.results import Place
from finial.assemble.vehicle.changes import changed
from finial.core.estimates import exact
from finial.files.sheet_body import RodEntry
from finial.materials.material import material
from finial.materials.warmth import share_left


@pytest.fixture
def stuffs(monkeypatch):
    """Materials straight from the tables."""
    for module in (mass, buttons, heat, build):
        monkeypatch.setattr(module, "sheet_material", lambda sheet, name: material(name))


def test_a_part_is_judged_in_the_sun_in_a_car_and_round_the_motor(lighthouse):
    """A closed car is 20 to 45 K warmer than the air; the motor warms the parts that it stands in."""
    surface = heat.wall_warmth(lighthouse)
    cases = list(heat.heat_cases(lighthouse, surface))
    air = heat.air_temperature(lighthouse)
    car = [one for one in cases if one.place is Place.CAR]
    assert len(car) == len(lighthouse.parts) + len(lighthouse.sheet.fin)
    assert (car[0].temperature.low, car[0].temperature.high) == pytest.approx(
        (air.low + 20.0, air.high + 45.0)
    )
    assert car[0].temperature.value == pytest.approx(air.value + 30.0)
    nozzle, length = lighthouse.sheet.motor.nozzle_station.value, lighthouse.motor.length_m
    warm = {
        part.spec.name
        for part in lighthouse.parts
        if part.span_m[0] < nozzle and part.span_m[1] > nozzle - length
    }
    assert {one.part for one in cases if one.place is Place.MOTOR} == warm
    assert 0 < len(warm) < len(lighthouse.parts)
    sun = [one for one in cases if one.place is Place.SUN]
    outside = {part.spec.name for part in lighthouse.parts if part.spec.outside}
    assert {one.part for one in sun} == outside | {fin.name for fin in lighthouse.sheet.fin}
    for one in sun:
        # Ten kelvins short of the glass transition it is soft already (common practice).
        assert one.margin.value == pytest.approx(one.softens.value - 10.0 - surface.value)
        assert 0.0 <= one.white_cools_k < 40.0


def test_fins_are_as_soft_as_the_sun_makes_them(lighthouse):
    """PLA keeps .68 of its stiffness 20 K below softening (warm.csv): a hot fin swings slower."""
    (fin,) = lighthouse.sheet.fin
    hot = changed(lighthouse, {("fin", 0, "material"): "PLA", ("launch", "temperature"): "40 degC"})
    cool = material("PLA")
    built = build._of_sheet(hot, None, hot.sheet.fin[0])
    wall = heat.wall_warmth(hot)
    assert built.stuff.modulus_pa.value == pytest.approx(
        cool.modulus_pa.value * share_left(cool.softens_k.value, wall.value, "stiffness")
    )
    assert built.stuff.modulus_pa.value < 0.8 * cool.modulus_pa.value
    (soft,) = (one for one in heat.sun_cases(hot, wall) if one.part == fin.name)
    assert soft.softens == cool.softens_k
    (cold,) = (one for one in cold_cases(hot) if one.part == fin.name)
    assert cold.brittle_below_k == pytest.approx(273.15)


def test_metal_does_not_soften_and_no_rod_pushes():
    parts = [
        SimpleNamespace(spec=SimpleNamespace(material=name)) for name in ("PETG", "6061-T6", "birch plywood")
    ]
    found = list(heat._softening(SimpleNamespace(sheet=SimpleNamespace(material=()), parts=parts)))
    assert [part.spec.material for part, _ in found] == ["PETG"]
    added = heat._added(exact(500.0), about(-600.0, -700.0, -400.0))
    assert (added.low, added.value, added.high) == (0.0, 0.0, 100.0)


def test_rods_and_walls_side_by_side_are_as_stiff_as_their_areas(stuffs, monkeypatch):
    here = SimpleNamespace(spec=SimpleNamespace(material="PETG"))
    cut_at = [
        SimpleNamespace(part=here, station_m=at, area=SimpleNamespace(area_m2=area))
        for at, area in ((0.3, 9e-4), (0.52, 6e-4), (0.8, 3e-4))
    ]
    other = SimpleNamespace(part=None, station_m=0.55, area=SimpleNamespace(area_m2=1.0))
    monkeypatch.setattr(
        heat, "part_at", lambda vehicle, station: here if abs(station - 0.55) < 1e-9 else None
    )
    monkeypatch.setattr(heat, "build_of", lambda vehicle: None)
    monkeypatch.setattr(heat, "wall_cuts", lambda build: [*cut_at, other])
    rod = RodEntry.model_validate({"thread": "M6", "material": "6061-T6", "count": 4, "on_circle": "84 mm",
                                   "stations": ["200 mm", "900 mm"]})  # fmt: skip
    stack, walls = heat._stack(SimpleNamespace(sheet=None), rod)
    assert stack.wall_ea_n == pytest.approx(6e-4 * material("PETG").modulus_pa.value)
    # 4 of 20.12 mm2 (ISO 898-1).
    assert stack.rod_ea_n == pytest.approx(4 * 20.12e-6 * material("6061-T6").modulus_pa.value, rel=4e-3)
    assert walls.name == "PETG"
    short = rod.model_copy(update={"stations": (quantity(0.2), quantity(0.3))})
    assert heat._stack(SimpleNamespace(sheet=None), short) is None


def test_creep_leaves_less_the_longer_and_the_warmer_and_metal_keeps_all():
    stack = heat.Stack(wall_ea_n=1.2e6, rod_ea_n=5.5e6)
    walls = material("PETG")
    short, long, hot = (
        heat._left(stack, walls, (exact(kelvin), wait))
        for kelvin, wait in ((310.0, 600.0), (310.0, 36e3), (330.0, 600.0))
    )
    assert 0.0 < long.value < short.value < 1.0
    assert hot.value < short.value
    assert short.low < short.value < short.high
    assert heat._left(stack, material("6061-T6"), (exact(310.0), 600.0)).value == 1.0
