"""From a sheet's tolerances to what a campaign draws."""

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from finial.assemble.spread.case import flight_case
from finial.assemble.vehicle.changes import changed
from finial.assemble.vehicle.field import field_radius_m
from finial.assemble.vehicle.levers import ballast
from finial.assemble.vehicle.usual import reach, usual
from finial.core.tables import table_rows
from finial.core.units import Quantity
from finial.files.sheet_scatter import ScatterEntry
from finial.files.site import Field
from finial.findings.check import load, readiness
from finial.flight.kernel import spread_layout as slots
from finial.flight.many import fly_many
from finial.flight.packing.many import packed_many

SHEET = Path(__file__).parents[2] / "examples" / "skerry-light" / "skerry-light.toml"


@pytest.fixture(scope="module")
def vehicle():
    return load(SHEET)


@pytest.fixture(scope="module")
def case(vehicle):
    return flight_case(vehicle)


@pytest.fixture(scope="module")
def draws(case):
    return {draw.name: draw for draw in case.spread.draws}


def test_without_spread_the_campaign_flies_the_nominal_flight_of_the_check(vehicle, case):
    flight = readiness(vehicle).flight
    still = replace(case.spread, draws=(), gust_heights_m=np.empty(0))
    found = fly_many(packed_many(case.inputs, still, seed=1), 0, 1)
    assert found.column("lift_off_mass_kg")[0] == pytest.approx(flight.lift_off_mass_kg, rel=1e-9)
    assert found.column("apogee_m")[0] == pytest.approx(flight.apogee_agl.value, abs=0.1)
    assert found.column("rail_exit_speed_m_s")[0] == pytest.approx(flight.rail_exit_speed.value, rel=1e-4)
    assert found.column("landing_east_m")[0] == pytest.approx(flight.landing_east_m, abs=0.5)


def test_tolerances_of_the_sheet_are_the_ends_of_the_draws(draws):
    ballast = draws["mass of steel ballast"]
    assert (ballast.shape, ballast.base) == ("even", 1.0)
    assert ballast.below * 1910.0 == pytest.approx(10.0)
    assert draws["station of steel ballast"].above == pytest.approx(0.001)
    assert (draws["wind of the day"].base, draws["wind of the day"].above) == (3.0, 1.0)
    assert draws["impulse"].above == pytest.approx(0.05)
    assert draws["temperature"].below == pytest.approx(5.0)
    assert draws["drag of main"].below == pytest.approx(0.06 / 0.75, rel=0.01)


def test_what_has_no_width_is_not_drawn(draws):
    assert "pressure at the pad" not in draws
    assert all(draw.below > 0.0 or draw.above > 0.0 for draw in draws.values())


def test_crooked_fins_add_as_independent_angles_do(vehicle, draws):
    """Mean and sum of four independent angles of the four fins; calculated from the cant of the whole set."""
    canted = replace(
        vehicle,
        sheet=vehicle.sheet.model_copy(
            update={
                "fin": tuple(
                    fin.model_copy(update={"cant": Quantity(value=0.01, text="0.01 rad")})
                    for fin in vehicle.sheet.fin
                )
            }
        ),
    )
    table = readiness(canted).air.table
    per_rad = float(table.roll_moment[0, 0, 0]) / 0.01
    off = math.radians(0.5)
    assert draws["fins twisted together"].above == pytest.approx(per_rad * off / math.sqrt(4.0), rel=1e-3)
    y, z = draws["fins crooked, y"], draws["fins crooked, z"]
    assert y.above == z.above > 0.0
    assert (y.slot, z.slot) == (slots.SIDE, slots.SIDE + 1)


def test_canopies_fail_by_the_odds_of_the_sheet(draws):
    assert draws["main stays in"].above == pytest.approx(0.01)
    assert draws["main stays in"].unit == "odds"


def test_own_tolerance_then_own_table_then_the_usual():
    scatter = ScatterEntry.model_validate({"rail_tilt": "2 deg"})
    own = Quantity(value=0.05, tolerance=0.01, text="")
    assert reach(scatter, "rail_tilt", own) == 0.01
    assert reach(scatter, "rail_tilt", Quantity(value=0.05, text="")) == pytest.approx(math.radians(2.0))
    assert reach(scatter, "thrust_line") == usual("thrust_line")


def test_every_usual_value_has_a_source_and_a_field():
    rows = table_rows("finial.assemble", "scatter.csv")
    assert all(row["source"] for row in rows)
    fields = set(ScatterEntry.model_fields) - {"gusts"}
    built = {"wall_thickness", "plate_thickness", "temperature", "rod_preload", "wire_preload"}
    assert {row["name"] for row in rows} == fields | {"tumbling_area"} | built


def test_gusts_may_be_left_out(vehicle):
    scatter = vehicle.sheet.scatter.model_copy(update={"gusts": False})
    quiet = replace(vehicle, sheet=vehicle.sheet.model_copy(update={"scatter": scatter}))
    assert flight_case(quiet).spread.gust_heights_m.size == 0


def test_a_calm_day_still_has_a_breath_of_wind(vehicle):
    launch = vehicle.sheet.launch.model_copy(update={"wind": Quantity(value=0.0, text="0 m/s")})
    calm = replace(vehicle, sheet=vehicle.sheet.model_copy(update={"launch": launch}))
    found = flight_case(calm)
    flown = fly_many(packed_many(found.inputs, found.spread, seed=1), 0, 20)
    wind = flown.drawn[:, [draw.name for draw in found.spread.draws].index("wind of the day")]
    assert 0.0 <= wind.min()
    assert wind.max() <= 0.1


def test_another_design_is_another_campaign(vehicle, case):
    heavier = flight_case(changed(vehicle, ballast(vehicle.sheet, "steel ballast", 2.1)))
    before, after = (float(one.spread.masses.rows[:, 0].sum()) for one in (case, heavier))
    assert after - before == pytest.approx(0.19)


def _with_field(vehicle, ring, hole=()):
    rings = tuple(np.array(one) for one in (ring, *hole))
    field = Field(rings_deg=rings, pad_latitude_rad=0.0, pad_longitude_rad=0.0)
    site = vehicle.files.site.model_copy(update={"field_radius": None})
    return replace(vehicle.files, site=site, field=field)


def test_distance_to_the_edge_follows_from_the_outline(vehicle):
    """On the equator 0.01 deg of longitude is 1113.2 m, of latitude 1105.7 m: WGS 84, calculated."""
    ring = [[-0.02, -0.01], [0.02, -0.01], [0.02, 0.03], [-0.02, 0.03], [-0.02, -0.01]]
    assert field_radius_m(_with_field(vehicle, ring)) == pytest.approx(1105.7, abs=0.1)
    outside = [[lon + 1.0, lat] for lon, lat in ring]
    assert field_radius_m(_with_field(vehicle, outside)) == 0.0
    assert field_radius_m(vehicle.files) == vehicle.files.site.field_radius.value
    assert field_radius_m(replace(_with_field(vehicle, ring), field=None)) is None
