"""Rows of the mass table on paper: what each weighs, where, and how far it may be off."""

import math
from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest
from made_by_hand import BAY, FIN, QUARTER, about, canopy

from finial.assemble.mass import rows as mass
from finial.assemble.strength import buttons, heat
from finial.assemble.strength.fins import build
from finial.core.estimates import KnownBy, exact
from finial.files.sheet_body import BoreEntry, ItemEntry, RodEntry
from finial.files.sheet_recovery import CordEntry
from finial.materials.material import material


@pytest.fixture
def stuffs(monkeypatch):
    """Materials straight from the tables."""
    for module in (mass, buttons, heat, build):
        monkeypatch.setattr(module, "sheet_material", lambda sheet, name: material(name))


def test_rods_weigh_their_stress_area_between_their_stations(stuffs):
    """ISO 898-1: M6 has 20.12 mm2; aluminium 2700 kg/m3."""
    rod = RodEntry.model_validate({"thread": "M6", "material": "6061-T6", "count": 4, "on_circle": "84 mm",
                                   "stations": ["200 mm", "900 mm"]})  # fmt: skip
    row = mass._rod_row(rod, material("6061-T6").density_kg_m3)
    each = 20.12e-6 * 0.7 * 2700.0
    assert row.mass.value == pytest.approx(4 * each, rel=4e-3)
    assert (row.station.value, row.span_m, row.kind) == (pytest.approx(0.55), (0.2, 0.9), "rod")
    assert row.mass.known_by is KnownBy.COMPUTED
    # About the axis: m r2; across, in their middle: m L2 / 12 and half of m r2.
    assert row.body.inertia_kg_m2[0, 0] == pytest.approx(row.mass.value * 0.042**2, rel=1e-3)
    assert row.body.inertia_kg_m2[1, 1] == pytest.approx(
        row.mass.value * (0.7**2 / 12 + 0.042**2 / 2), rel=1e-2
    )


def test_fins_weigh_area_thickness_and_density_with_the_scatter_of_both(stuffs):
    row = mass._fin_row(FIN, material("polycarbonate").density_kg_m3, 0.0002)
    stuff = material("polycarbonate").density_kg_m3
    assert row.mass.value == pytest.approx(4 * 0.015 * 0.004 * stuff.value, rel=1e-6)
    share = stuff.half_width / stuff.value + 0.05
    assert row.mass.high / row.mass.value == pytest.approx(1 + share)
    assert row.span_m == pytest.approx((0.9, 1.1))


def test_an_item_weighs_at_its_place_and_is_ballast_when_marked():
    item = ItemEntry.model_validate({"name": "shot", "mass": "500 g +- 5 g", "station": "120 mm +- 2 mm",
                                     "kind": "ballast",
                                     "offset": ["3 mm", "4 mm"], "known_by": "weighed"})  # fmt: skip
    row = mass._item_row(item)
    assert (row.mass.low, row.mass.high, row.station.high) == pytest.approx((0.495, 0.505, 0.122))
    assert row.body.centre_m == pytest.approx([-0.12, 0.003, 0.004])
    assert row.mass.known_by is KnownBy.WEIGHED
    assert row.is_ballast is True
    assert mass._item_row(item.model_copy(update={"kind": "sled"})).is_ballast is False


def test_a_canopy_hangs_on_the_axis_of_its_bay_and_is_weighed_where_it_has_a_tolerance():
    row = mass._canopy_row(canopy(), (BAY,))
    # 50 mm ahead of the bay's middle: at 45 degrees 50 mm further out.
    assert row.body.centre_m == pytest.approx([-0.3, 0.06, 0.0])
    assert row.mass.known_by is KnownBy.HANDBOOK
    assert mass._canopy_row(canopy(mass="200 g +- 2 g"), (BAY,)).mass.known_by is KnownBy.WEIGHED
    nowhere = mass._canopy_row(canopy(bay="none"), (BAY,))
    assert nowhere.body.centre_m == pytest.approx([-0.3, 0.0, 0.0])


def test_cords_lie_in_the_middle_of_their_bay_and_unweighed_ones_are_left_out():
    def cord(**given):
        usual = {"name": "cord", "joint": "joint", "material": "nylon webbing 1000 lbf", "length": "6 m"}
        return CordEntry.model_validate({**usual, "mass_per_length": "10 g/m", **given})

    unknown = cord(name="x", mass_per_length=None, breaking_load="4 kN", stretch_at_break="20 %")
    recovery = SimpleNamespace(bay=(BAY,), cord=(cord(), unknown, cord(name="y", joint="other")))
    (row,) = mass._cord_rows(SimpleNamespace(sheet=SimpleNamespace(recovery=recovery)))
    assert (row.mass.low, row.mass.value, row.mass.high) == pytest.approx((0.054, 0.06, 0.066))
    assert row.body.centre_m == pytest.approx([-0.35, 0.01, 0.0])
    assert (row.name, row.kind, row.station.value) == ("cord", "cord", pytest.approx(0.35))


@pytest.mark.parametrize(
    ("size", "area_m2", "girth_m"),
    [({"across": "20 mm"}, QUARTER * 0.02**2, math.pi * 0.02), ({"sides": ["30 mm", "20 mm"]}, 6e-4, 0.1)],
)
def test_a_hole_counts_as_far_as_it_lies_in_its_part(size, area_m2, girth_m):
    bore = BoreEntry.model_validate({"stations": ["100 mm", "800 mm"], "offset": ["5 mm", "0 mm"], **size})
    inside, beyond = mass._hole(bore, (0.2, 0.6)), mass._hole(bore, (0.0, 0.9))
    assert (inside.area_m2, inside.girth_m) == pytest.approx((area_m2, girth_m))
    assert inside.offset_m == (0.005, 0.0)
    assert (inside.stations_m, beyond.stations_m) == ((0.2, 0.6), pytest.approx((0.1, 0.8)))


def test_a_begun_sheet_weighs_its_motor_as_soon_as_it_names_one(answered):
    vehicle, rows = answered.vehicle, answered.rows
    whole = mass.weighed_so_far(vehicle, rows)
    assert whole.mass.value == pytest.approx(answered.mass.lift_off_mass.value)
    assert whole.balance.value == pytest.approx(answered.mass.lift_off_balance.value)
    begun = replace(vehicle, files=replace(vehicle.files, missing=("motor",)))
    without = mass.weighed_so_far(begun, rows)
    assert whole.mass.value - without.mass.value == pytest.approx(mass.motor_row(vehicle, 1.0).mass.value)
    assert len(whole.rows) == len(without.rows) + 1


def test_a_row_s_own_interval_counts_as_it_widens_the_sum():
    def row(value, off, station, known_by):
        estimate = about(value, value - off, value + off, known_by)
        body = SimpleNamespace(mass_kg=value)
        return SimpleNamespace(mass=estimate, station=exact(station), body=body)

    rows = (row(1.0, 0.2, 0.1, KnownBy.ASSUMED), row(5.0, 0.1, 0.5, KnownBy.WEIGHED))
    found = mass._total_mass(rows)
    assert (found.low, found.value, found.high, found.known_by) == pytest.approx(
        (5.7, 6.0, 6.3, KnownBy.ASSUMED)
    )
    sure = (row(1.0, 0.01, 0.1, KnownBy.ASSUMED), row(5.0, 0.1, 0.5, KnownBy.WEIGHED))
    assert mass._total_mass(sure).known_by is KnownBy.COMPUTED


def test_the_balance_on_the_way_goes_from_lift_off_to_burnout():
    result = SimpleNamespace(lift_off_balance=about(0.8, 0.78, 0.83), burnout_balance=about(0.7, 0.69, 0.72))
    history = SimpleNamespace(times_s=np.array([0.0, 2.0]), centres_m=np.array([[-0.8, 0, 0], [-0.7, 0, 0]]))
    half = mass.balance_at(result, history, 1.0)
    assert (half.low, half.value, half.high) == pytest.approx((0.735, 0.75, 0.775))
    for time, end in ((-1.0, result.lift_off_balance), (9.0, result.burnout_balance)):
        found = mass.balance_at(result, history, time)
        assert (found.low, found.value, found.high) == pytest.approx((end.low, end.value, end.high))
    still = SimpleNamespace(lift_off_balance=about(0.8, 0.78, 0.83), burnout_balance=about(0.8, 0.75, 0.9))
    assert mass.balance_at(still, history, 0.0).high == pytest.approx(0.83)
