"""Separations, glances, other motors and the names of places in a sheet; on paper."""

from dataclasses import replace
from types import SimpleNamespace

import pytest
from made_by_hand import about, canopy, quantity

from finial.assemble.looks.glance import look_at
from finial.assemble.recovery import study
from finial.assemble.vehicle.loading import motor_of, with_motor
from finial.assemble.vehicle.places import changes_named, names, place_named
from finial.core.errors import MissingData
from finial.core.estimates import exact


def test_a_joint_parts_as_fast_as_its_first_charge_up_to_all_at_once():
    def shots(*speeds):
        return tuple(SimpleNamespace(speed=speed) for speed in speeds)

    blasts = (
        SimpleNamespace(bay="other", shots=shots(about(99.0, 98.0, 100.0))),
        SimpleNamespace(
            bay="bay", shots=shots(about(0.0, 0.0, 1.0), about(6.0, 5.0, 7.0), about(9.0, 8.0, 11.0))
        ),
    )
    found = study._parting("bay", blasts)
    assert (found.low, found.value, found.high) == (5.0, 6.0, 11.0)
    assert study._parting("none", blasts) == study.USUAL_PARTING


def test_a_canopy_pulled_out_at_rest_still_fills():
    least = study.LEAST_SPEED_M_S
    found = study._at_least(about(0.0, 0.0, 0.0))
    assert (found.low, found.value, found.high) == (least, least, least)
    assert study._at_least(about(9.0, 8.0, 10.0)) == about(9.0, 8.0, 10.0)


def test_under_an_earlier_canopy_it_falls_steadily_and_its_drag_is_on_the_side_it_hangs_from():
    from finial.assemble.recovery.start import SeparationStart
    from finial.recovery.tether.scene import Piece

    flown = SeparationStart(wind="day", offset_s=0.0, along_m_s=5.0, up_m_s=-1.0, angle_rad=0.3,
                            rate_rad_s=2.0, height_m=200.0, density_kg_m3=1.2, pressure_pa=99e3)  # fmt: skip
    earlier = SimpleNamespace(descent_speed=exact(18.0), drag_area=exact(0.5))
    hanging = study._hanging(flown, earlier)
    assert (hanging.along_m_s, hanging.up_m_s, hanging.rate_rad_s, hanging.hangs) == (0.0, -18.0, 0.0, True)
    assert hanging.angle_rad == study.HANGS_RAD["day"]
    assert hanging.height_m == 200.0
    piece = Piece(name="aft", mass_kg=4.0, inertia_kg_m2=0.5, fore_m=0.4, aft_m=0.4,
                  end_on_area_m2=0.01, side_on_area_m2=0.1)  # fmt: skip
    held = study._held_by(study.Side(piece=piece, station_m=0.9), earlier)
    assert (held.piece.end_on_area_m2, held.piece.side_on_area_m2, held.station_m) == pytest.approx(
        (0.51, 0.6, 0.9)
    )


def test_a_later_joint_hangs_from_the_largest_canopy_that_came_at_the_top(monkeypatch):
    monkeypatch.setattr(study, "_parted", lambda vehicle, recovery: "parted")
    drogue, second, main = (
        canopy(name="drogue"),
        canopy(name="second"),
        canopy(event={"falling_through": "200 m"}),
    )
    vehicle = SimpleNamespace(sheet=SimpleNamespace(recovery=SimpleNamespace(canopy=(drogue, second, main))))
    results = [
        SimpleNamespace(name=name, drag_area=exact(area))
        for name, area in (("drogue", 0.2), ("second", 0.3), ("main", 2.0))
    ]
    recovery = SimpleNamespace(canopies=tuple(results))
    assert study._hung_before(vehicle, recovery, main.event, main).name == "second"
    assert study._hung_before(vehicle, recovery, drogue.event, drogue) is None
    vehicle.sheet.recovery.canopy = (main,)
    recovery.canopies = (results[2],)
    assert study._hung_before(vehicle, recovery, main.event, main) == "parted"


def test_a_glance_says_what_the_stages_say(answered):
    look = look_at(answered.vehicle)
    assert look.mass_kg == answered.mass.lift_off.mass_kg
    assert look.margin_m == pytest.approx(min(point.margin.low for point in answered.stability))
    assert look.apogee_m == pytest.approx(answered.flight.apogee_agl.value)
    assert look.rail_exit_low_m_s == pytest.approx(answered.flight.rail.speed.low)
    assert look.landing_speed.value == pytest.approx(answered.recovery.landing_speed.value)
    assert look.landing_speed.high == pytest.approx(answered.recovery.landing_speed.high)
    assert look.span_m == pytest.approx(0.190)
    assert look.width_m == answered.vehicle.skin.width_m


def test_another_motor_stands_in_every_mount(lighthouse):
    data = replace(lighthouse.files.motor, thrust_spread=quantity(0.2), ignition_delay=quantity(0.3))
    single = with_motor(lighthouse, data)
    assert (single.motor.thrust_spread, single.motor.ignition_delay_s, len(single.motors)) == (0.2, 0.3, 1)
    assert single.files.motor is data
    assert single.files.more_motors == ()
    pair = with_motor(replace(lighthouse, motors=(lighthouse.motor, lighthouse.motor)), data)
    assert len(pair.motors) == 2
    assert pair.motor.loaded_mass_kg == pytest.approx(2 * single.motor.loaded_mass_kg)
    assert pair.files.more_motors == (data,)
    plain = replace(data, thrust_spread=None, ignition_delay=None)
    assert motor_of(plain).ignition_delay_s == 0.0
    assert 0.0 < motor_of(plain).thrust_spread < 0.2


@pytest.mark.parametrize(
    ("name", "place"),
    [
        ("launch.rail_length", ("launch", "rail_length")),
        ("rail_length", ("launch", "rail_length")),
        ("nozzle_station", ("motor", "nozzle_station")),
        ("motor.thrust_plate.hole", ("motor", "thrust_plate", "hole")),
        ("thrust_plate.hole", ("motor", "thrust_plate", "hole")),
        ("fins.thickness", ("fin", 0, "thickness")),
        ("fin.fins.thickness", ("fin", 0, "thickness")),
        ("shock cord.length", ("recovery", "cord", 0, "length")),
        ("recovery.cord.shock cord.length", ("recovery", "cord", 0, "length")),
        ("rod[1].preload", ("rod", 0, "preload")),
        ("print.bed", ("print", "bed")),
    ],
)
def test_a_place_is_found_by_each_of_its_names(lighthouse, name, place):
    assert place_named(lighthouse.sheet, name) == place
    assert changes_named(lighthouse.sheet, {name: "1"}) == {place: "1"}


def test_a_place_that_is_not_there_or_is_several_is_refused_with_the_nearest(lighthouse):
    sheet = lighthouse.sheet
    with pytest.raises(MissingData, match=r"did you mean .*rail_length"):
        place_named(sheet, "rail_lenght")
    with pytest.raises(MissingData, match=r"no place called 'zzzz'$"):
        place_named(sheet, "zzzz")
    with pytest.raises(MissingData, match="no place called"):
        place_named(sheet, "rail_length.value.deeper")
    bay = sheet.recovery.bay[0]
    twin = sheet.item[0].model_copy(update={"name": bay.name})
    two = sheet.model_copy(update={"item": (*sheet.item, twin)})
    with pytest.raises(MissingData, match="may mean several places") as refused:
        place_named(two, f"{bay.name}.offset")
    assert f"'item.{bay.name}.offset'" in str(refused.value)
    assert f"'recovery.bay.{bay.name}.offset'" in str(refused.value)
    assert place_named(two, f"item.{bay.name}.offset") == ("item", len(sheet.item), "offset")


def test_every_name_that_is_listed_is_a_place(lighthouse):
    listed = list(names(lighthouse.sheet))
    assert {"launch.rail_length", "rail_length", "fins.thickness", "steel ballast.mass"} <= set(listed)
    assert "fins.name" not in listed
    for name in listed:
        if listed.count(name) == 1:
            assert place_named(lighthouse.sheet, name)[-1] == name.rpartition(".")[2]
