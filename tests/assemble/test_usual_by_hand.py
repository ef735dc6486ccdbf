"""What the sheet says, and else the usual: canopies, rods, bays, fields; on paper."""

import math
from types import SimpleNamespace

import numpy as np
import pytest
from made_by_hand import quantity

from finial.assemble.flights import parted
from finial.assemble.vehicle import bay_walls, field, usual
from finial.assemble.vehicle import canopies as vehicle_canopies
from finial.assemble.vehicle.rods import crossing, rod_count, rod_name, rod_places, rods_of
from finial.core.estimates import KnownBy
from finial.files.sheet_body import RodEntry
from finial.files.sheet_recovery import BayEntry, CanopyEntry


def canopy(**given):
    base = {"name": "main", "bay": "bay", "kind": "flat circular", "event": "apogee", "station": "300 mm"}
    base |= {"diameter": "2 m", "diameter_measures": "nominal", "mass": "314.159 g"}
    return CanopyEntry.model_validate({**base, **given})


def test_a_tolerance_of_its_own_goes_before_the_usual():
    own = usual.usual_share(quantity(520.0, 50.0), "rod_preload")
    assert (own.low, own.high, own.known_by) == (470.0, 570.0, KnownBy.MEASURED)
    share = usual.usual("rod_preload")
    taken = usual.usual_share(quantity(520.0), "rod_preload")
    assert (taken.low, taken.high) == pytest.approx((520.0 * (1 - share), 520.0 * (1 + share)))
    assert (taken.known_by, bool(taken.source)) == (KnownBy.HANDBOOK, True)
    about_it = usual.usual_reach(quantity(290.0), "temperature")
    width = usual.usual("temperature")
    assert (about_it.low, about_it.high, about_it.known_by) == (
        290.0 - width,
        290.0 + width,
        KnownBy.HANDBOOK,
    )
    assert usual.usual_reach(quantity(290.0, 1.0), "temperature").low == 289.0


def test_the_scatter_table_goes_between_the_field_and_the_usual():
    table = SimpleNamespace(given=lambda name: quantity(0.07) if name == "burn_time" else None)
    assert usual.reach(table, "burn_time", quantity(1.0, 0.02)) == 0.02
    assert usual.reach(table, "burn_time", quantity(1.0)) == 0.07
    assert usual.reach(table, "burn_time") == 0.07
    assert usual.reach(table, "rail_tilt") == usual.usual("rail_tilt")


def test_a_drop_goes_before_the_maker_and_the_maker_before_the_kind():
    """Weight is drag: 2 m g / (rho v^2), in the standard air unless told; 1.225 kg/m3."""
    dropped = vehicle_canopies.drag_area(
        canopy(drop_test={"mass": "2 kg", "speed": "5 m/s"}, drag_area="9 m2")
    )
    assert dropped.value == pytest.approx(2 * 2.0 * 9.80665 / (1.225 * 25.0), rel=1e-4)
    thin = canopy(drop_test={"mass": "2 kg", "speed": "5 m/s", "temperature": "300 K", "pressure": "90 kPa"})
    density = 90e3 / (287.05287 * 300.0)
    assert vehicle_canopies.drag_area(thin).value == pytest.approx(
        2 * 2.0 * 9.80665 / (density * 25.0), rel=1e-4
    )
    assert vehicle_canopies.drag_area(canopy(drag_area="9 m2", drag_coefficient="0.5")).value == 9.0
    assert vehicle_canopies.drag_area(canopy(drag_coefficient="0.5")).value == pytest.approx(0.5 * math.pi)
    # A hundred grams for each square metre of nominal area.
    assert vehicle_canopies.cloth_kg_m2(canopy()).value == pytest.approx(0.1, rel=1e-4)


@pytest.mark.parametrize(
    ("charges", "events", "bare"),
    [
        (["apogee"], [{"falling_through": "200 m"}], True),
        (["apogee"], ["apogee", {"falling_through": "200 m"}], False),
        ([{"falling_through": "200 m"}], [{"falling_through": "200 m"}], False),
        ([], [{"falling_through": "200 m"}], False),
        (["apogee"], [], False),
        ([{"falling_through": "200 m"}, "apogee"], [{"falling_through": "200 m"}], True),
    ],
)
def test_it_parts_bare_where_a_charge_fires_at_the_top_and_every_canopy_waits(charges, events, bare):
    recovery = SimpleNamespace(
        charge=[SimpleNamespace(event=canopy(event=event).event) for event in charges],
        canopy=[canopy(event=event) for event in events],
    )
    assert parted.parts_bare(recovery) is bare


def rod(**given):
    base = {
        "thread": "M6",
        "material": "steel",
        "count": 2,
        "on_circle": "80 mm",
        "stations": ["200 mm", "900 mm"],
    }
    return RodEntry.model_validate({**base, **given})


def test_rods_that_differ_in_anything_they_work_by_stay_apart():
    alike = rod(first_at="90 deg")
    assert len(rods_of(SimpleNamespace(rod=(rod(), alike)))) == 1
    assert rod_count(rods_of(SimpleNamespace(rod=(rod(), alike)))[0]) == 4
    for other in (
        rod(thread="M5"), rod(material="6061-T6"), rod(preload="100 N"), rod(slip="1 mm"),
        rod(washer="18 mm"), rod(supports=["500 mm"]), rod(stations=["200 mm", "901 mm"]),
        rod(bears_on={"thickness": "6 mm", "material": "birch plywood"}),
    ):  # fmt: skip
        assert len(rods_of(SimpleNamespace(rod=(rod(), other)))) == 2
    longer = rod(first_at="90 deg", stations=["300 mm", "1000 mm"])
    both = SimpleNamespace(rod=(rod(), longer))
    assert [rod_count(one) for one in crossing(both, 0.5)] == [4]
    assert [[rod_count(one) for one in crossing(both, at)] for at in (0.2, 0.25, 0.95, 0.9, 1.1)] == [
        [2],
        [2],
        [2],
        [4],
        [],
    ]


def test_rods_by_places_are_counted_and_named_so():
    placed = rod(count=None, on_circle=None, places=[["10 mm", "0 mm"], ["0 mm", "-20 mm"], ["5 mm", "5 mm"]])
    assert (rod_count(placed), rod_name(placed)) == (3, "3 rods M6 steel")
    assert rod_places(placed).tolist() == [[0.01, 0.0], [0.0, -0.02], [0.005, 0.005]]
    assert rod_name(rod(name="studs")) == "studs"


def test_a_bay_s_wall_is_round_its_bore():
    given = {
        "name": "bay",
        "joint": "joint",
        "stations": ["200 mm", "500 mm"],
        "diameter": "80 mm",
        "round_tube": True,
    }
    bare = BayEntry.model_validate(given)
    walled = BayEntry.model_validate({**given, "wall": "1.5 mm", "material": "PETG"})
    sheet = SimpleNamespace(material=())
    found = bay_walls.sheet_bay_wall(sheet, walled)
    assert (found.across_m, found.length_m, found.station_m, found.wall_m) == pytest.approx(
        (0.083, 0.3, 0.35, 0.0015)
    )
    assert bay_walls.sheet_bay_wall(sheet, bare) is None
    assert bay_walls.sheet_bay_wall(sheet, bare.model_copy(update={"wall": quantity(0.0015)})) is None


def test_the_field_s_edge_is_entered_or_the_nearest_of_its_outline():
    def files(rings, radius=None):
        place = (
            SimpleNamespace(pad_latitude_rad=0.0, pad_longitude_rad=0.0, rings_deg=rings) if rings else None
        )
        return SimpleNamespace(field=place, site=SimpleNamespace(field_radius=radius and quantity(radius)))

    # A hundredth of a degree at the equator: 1113.2 m east and 1105.7 m north (WGS 84).
    ring = np.array([[-0.01, -0.02], [0.01, -0.02], [0.01, 0.02], [-0.01, 0.02], [-0.01, -0.02]])
    assert field.field_radius_m(files([ring])) == pytest.approx(1113.2, abs=0.5)
    assert field.field_radius_m(files([ring], 90.0)) == 90.0
    assert field.field_radius_m(files([ring + np.array([0.02, 0.0])])) == 0.0
    assert field.field_radius_m(files([ring, ring / 10.0])) == 0.0  # the pad is in a hole
    assert field.field_radius_m(files(None)) is None
    assert field.field_rings_m(files(None)) is None


@pytest.mark.parametrize(
    ("value", "tolerance", "ends", "known"),
    [
        (3.0, 1.0, (2.0, 4.0), KnownBy.MEASURED),
        (3.0, 5.0, (0.0, 8.0), KnownBy.MEASURED),
        (0.5, 0.2, (0.3, 0.7), KnownBy.MEASURED),
        (3.0, 0.0, (3.0, 3.0), KnownBy.ASSUMED),
    ],
)
def test_the_wind_is_as_entered_and_never_below_calm(value, tolerance, ends, known):
    from finial.assemble.day import wind_at_ten_metres

    launch = SimpleNamespace(wind=quantity(value, tolerance))
    found = wind_at_ten_metres(SimpleNamespace(sheet=SimpleNamespace(launch=launch)))
    assert (found.low, found.high) == pytest.approx(ends)
    assert (found.value, found.known_by) == (value, known)
