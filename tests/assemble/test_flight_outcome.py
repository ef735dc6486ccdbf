"""What a whole sheet's flights end in: how they leave the rail, how steady they are, whether one is lost."""

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from finial.assemble.flights.results import DeploymentKind, FlightResult, Loss
from finial.assemble.looks.answer import StageResults, answer
from finial.assemble.stability.results import MomentName
from finial.assemble.vehicle.loading import LoadedVehicle, load_vehicle
from finial.core.units import Quantity
from finial.files.sheet_recovery import EventEntry

BUOY = Path(__file__).parents[2] / "examples" / "buoy-tiers" / "buoy-tiers.toml"
POT = """
[[part]]
name = "lid"
tiers = [{ outline = "circle", across = "200 mm", across_top = "60 mm", height = "80 mm", roof = "dome" }]
material = "PETG"
print = { wall = "1.6 mm", infill = "10 %" }
weighed = "300 g"
glued = true

[[part]]
name = "pot"
tiers = [{ outline = "circle", across = "170 mm", across_top = "210 mm", height = "340 mm" }]
tip_station = "80 mm"
material = "PETG"
print = { wall = "1.6 mm", infill = "5 %" }
weighed = "1100 g"

[[item]]
name = "ballast"
mass = "1.3 kg"
station = "40 mm"
known_by = "weighed"

[[fin]]
name = "fins"
outline = [["0 mm", "0 mm"], ["60 mm", "150 mm"], ["200 mm", "150 mm"], ["150 mm", "0 mm"]]
station = "260 mm"
count = 4
first_at = "45 deg"
thickness = "5 mm"
material = "polycarbonate"

"""
"""An invented cooking pot, drawn from tiers, with the buoy's motor, recovery and day."""
MOVED = (
    ('nozzle_station = "915 mm"', 'nozzle_station = "430 mm"\noffset = ["{} mm", "0 mm"]'),
    ('buttons = ["420 mm", "850 mm"]', 'buttons = ["120 mm", "390 mm"]'),
    ('station = "170 mm"\nfriction', 'station = "80 mm"\nfriction'),
    ('stations = ["178 mm", "430 mm"]', 'stations = ["100 mm", "350 mm"]'),
    ('station = "300 mm"', 'station = "200 mm"'),
    ('stations = ["508 mm", "910 mm"]', 'stations = ["35 mm", "425 mm"]'),
)


def pot(folder: Path, offset_mm: float) -> StageResults:
    text = BUOY.read_text(encoding="utf-8")
    text = text[: text.index("[[part]]")] + POT + text[text.index("[motor]") :]
    for old, new in MOVED:
        assert old in text
        text = text.replace(old, new.format(offset_mm))
    for name in ("motors/demo-k500.toml", "motors/demo-k500.csv", "site.toml"):
        (folder / name).parent.mkdir(exist_ok=True)
        (folder / name).write_bytes((BUOY.parent / name).read_bytes())
    (folder / "pot.toml").write_text(text, encoding="utf-8")
    return answer(load_vehicle(folder / "pot.toml", lambda note: None))


def flown(vehicle: LoadedVehicle, **tables) -> FlightResult:
    return answer(replace(vehicle, sheet=vehicle.sheet.model_copy(update=tables))).flight


def metres(value: float) -> Quantity:
    return Quantity(value=value, text=f"{value} m")


def test_a_pot_with_its_motor_beside_the_axis_turns_over_and_throws_its_canopy_under_thrust(tmp_path):
    found = pot(tmp_path, 27.0).flight
    assert not found.usable
    assert [one.flight for one in found.lost] == ["nominal", "weak", "strong", "windy", "calm"]
    for lost in found.lost:
        assert lost.loss is Loss.TURNED_OVER
        assert lost.under_thrust
        assert lost.time_s < 1.4
    for one in found.deployments:
        # The top comes while the motor burns, in the calmest flight as it ends; the
        # canopy stands open half a second later.
        late = 0.5 if one.kind is DeploymentKind.CANOPY else 0.0
        assert one.after_burnout.value < late, one.name
        assert one.after_burnout.high < late + 0.1, one.name
    assert math.degrees(found.lean.low) > 90.0
    assert found.thrust_line.held_angle.value == pytest.approx(math.pi / 2.0)
    # By hand: the motor's 1.48 kg of 4.02 kg stand 27 mm aside, so the balance point follows 37 % of the way.
    share = 1.48 / found.lift_off_mass_kg
    assert found.thrust_line.balance_across[0].value == pytest.approx(0.027 * share, rel=1e-3)
    assert found.thrust_line.arm.value == pytest.approx(0.027 * (1.0 - share), rel=1e-3)


def test_the_same_pot_with_its_motor_on_the_axis_flies(tmp_path):
    found = pot(tmp_path, 0.0).flight
    assert found.usable
    assert found.lost == ()
    assert found.thrust_line.arm.value == pytest.approx(0.0, abs=1e-9)
    assert min(one.after_burnout.low for one in found.deployments) > 3.0


def test_a_sound_vehicle_leaves_its_rail_as_its_flights_do(answered):
    found, flights = answered.flight, answered.flights
    fore = [trace.event("fore button leaves").speed_m_s for trace in flights.every]
    aft = [trace.event("rail exit").speed_m_s for trace in flights.every]
    rail = found.rail
    assert (rail.fore_speed.value, rail.fore_speed.low, rail.fore_speed.high) == (
        fore[0],
        min(fore),
        max(fore),
    )
    assert (rail.aft_speed.value, rail.aft_speed.low, rail.aft_speed.high) == (aft[0], min(aft), max(aft))
    # Its fore button stands just ahead of the balance point, so the rail holds it until that leaves.
    assert rail.speed.value == pytest.approx(fore[0], rel=1e-9)
    assert (rail.fore_button_m, rail.aft_button_m) == (0.62, 1.17)
    assert rail.two_button_travel == pytest.approx((3.6 - (1.205 - 0.62)) / 0.55)
    # Slowest in the strongest wind, whichever flights they come from.
    assert rail.wind_angle.high == pytest.approx(math.atan2(rail.wind.high, rail.speed.low))
    assert rail.wind_angle.low == pytest.approx(math.atan2(rail.wind.low, rail.speed.high))
    assert rail.lean_by_play.value == pytest.approx(math.atan2(0.002, 0.55))


def test_no_buttons_no_way_off_the_rail_known(lighthouse):
    found = answer(replace(lighthouse, sheet=lighthouse.sheet.model_copy(update={"guide": None})))
    assert not found.flight.has_guide
    assert found.flight.rail is None
    assert found.flight.rail_exit_speed is None
    assert [point.moment for point in found.stability] == [MomentName.MAX_SPEED, MomentName.BURNOUT]


def test_a_vehicle_too_heavy_to_lift_never_left(lighthouse):
    items = (
        lighthouse.sheet.item[0].model_copy(update={"mass": Quantity(value=900.0, text="900 kg")}),
        *lighthouse.sheet.item[1:],
    )
    found = flown(lighthouse, item=items)
    assert {one.loss for one in found.lost} == {Loss.NEVER_LEFT}
    assert (found.rail, found.thrust_line, found.lean, found.spinning, found.steady_angle) == (None,) * 5


def test_ballast_beside_the_axis_is_held_at_a_larger_angle(lighthouse, answered):
    sheet = lighthouse.sheet
    aside = (metres(0.04), metres(0.0))
    items = tuple(
        item.model_copy(update={"offset": aside}) if item.name == "steel ballast" else item
        for item in sheet.item
    )
    found = flown(lighthouse, item=items)
    ballast = next(item.mass.value for item in sheet.item if item.name == "steel ballast")
    by_hand = 0.04 * ballast / found.lift_off_mass_kg
    assert found.thrust_line.balance_across[0].value == pytest.approx(by_hand, rel=1e-6)
    assert found.thrust_line.arm.value == pytest.approx(by_hand, rel=1e-6)
    assert found.thrust_line.held_angle.high > math.radians(14.0)
    assert answered.flight.thrust_line.held_angle.high < math.radians(10.0)
    assert found.usable


def test_the_usual_scatter_widens_the_arm_both_ways(answered):
    line = answered.flight.thrust_line
    nozzle = answered.vehicle.sheet.motor.nozzle_station.value
    # 0.5 mm along both axes and a quarter of a degree of lean, all at once: the usual scatter.
    off = math.hypot(0.0005, 0.0005) + math.sin(0.00436) * (nozzle - answered.mass.lift_off.station_m)
    assert line.arm.high == pytest.approx(off, rel=1e-3)
    assert line.arm.low == 0.0
    assert line.moment.high == pytest.approx(line.arm.high * thrusts_at_exit(answered).max(), rel=1e-6)


def thrusts_at_exit(answered: StageResults) -> np.ndarray:
    traces = answered.flights.every
    return np.array(
        [np.interp(trace.event("rail exit").time_s, trace.times_s, trace.thrusts_n) for trace in traces]
    )


def test_the_band_s_forward_end_is_the_one_that_holds_least(answered):
    # At the arm's high end the balance point counts as further aft by what the band reaches forward.
    line = answered.flight.thrust_line
    small = line.arm.high * thrusts_at_exit(answered)[0] / (line.righting_n_m / math.radians(1.0))
    assert line.held_angle.high > 1.05 * small


@pytest.mark.parametrize(("cant_deg", "meets"), [(0.0, False), (1.0, False), (12.0, True)])
def test_canted_fins_and_the_pitch_frequency(lighthouse, cant_deg, meets):
    cant = Quantity(value=math.radians(cant_deg), text=f"{cant_deg} deg")
    fins = tuple(fin.model_copy(update={"cant": cant}) for fin in lighthouse.sheet.fin)
    found = flown(lighthouse, fin=fins).spinning
    assert found.passes is meets
    assert (found.ratio.high >= 1.0) is meets
    if cant_deg == 1.0:
        # Slow against the frequency: the roll rate of canted fins grows with the speed as that does.
        assert 0.4 < found.ratio.value < 0.7


def test_events_of_canopies_charges_and_igniters_are_told_from_the_end_of_the_thrust(lighthouse, answered):
    found = answered.flight.deployments
    assert [one.kind for one in found] == [DeploymentKind.CANOPY, *[DeploymentKind.CHARGE] * 2] + [
        DeploymentKind.IGNITER
    ] * (len(found) - 3)
    trace = answered.flights.nominal
    apogee, burnt = trace.event("apogee").time_s, trace.event("burnout").time_s
    main = found[0]
    delay = lighthouse.sheet.recovery.canopy[0].delay.value
    assert main.after_burnout.value == pytest.approx(apogee + delay - burnt)
    assert main.after_burnout.low == pytest.approx(
        min(one.event("apogee").time_s - one.event("burnout").time_s for one in answered.flights.every)
        + delay
    )


def test_a_canopy_on_a_clock_under_thrust_is_lost(lighthouse):
    recovery = lighthouse.sheet.recovery
    early = EventEntry(after_lift_off=Quantity(value=1.0, text="1 s"))
    canopy = recovery.canopy[0].model_copy(update={"event": early, "delay": Quantity(value=0.0, text="0 s")})
    found = flown(lighthouse, recovery=recovery.model_copy(update={"canopy": (canopy,)}))
    assert {one.loss for one in found.lost} == {Loss.EARLY_CANOPY}
    assert found.deployments[0].after_burnout.high < 0.0
