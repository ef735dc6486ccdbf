"""Moments of a flight and load cases beyond the check's, on paper."""

import math
from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest
from made_by_hand import about, quantity

from finial.assemble.spread import masses
from finial.assemble.stability.points import moments_of
from finial.assemble.stability.results import MomentName
from finial.assemble.strength import further_cases
from finial.core.estimates import exact
from finial.flight.trace import EventKind
from finial.mass.lumps import lumps
from finial.structure.loads.case import Half, Load
from finial.structure.loads.landing import EdgeBlow


class Flown(SimpleNamespace):
    def event(self, kind, canopy=None):
        return next((one for one in self.events if one.kind is kind), None)


def trace(*kinds, **changes):
    events = tuple(SimpleNamespace(kind=kind, time_s=at) for kind, at in kinds)
    times = np.array([0.0, 1.0, 2.0, 3.0])
    usual_trace = {
        "dynamic_pressures_pa": np.array([0.0, 900.0, 3000.0, 1000.0]),
        "thrusts_n": np.array([0.0, 500.0, 400.0, 0.0]),
    }
    return Flown(events=events, times_s=times, **{**usual_trace, **changes})


def test_moments_are_rail_exit_in_the_strongest_wind_top_speed_and_burnout(monkeypatch):
    asked = []
    monkeypatch.setattr(
        "finial.assemble.stability.points.air_met",
        lambda flight, time, gust: asked.append((time, gust)) or (time, 0.1),
    )
    nominal, windy = trace((EventKind.BURNOUT, 2.5)), trace((EventKind.RAIL_EXIT, 0.4))
    found = moments_of(nominal, windy, 9.0)
    assert [(one.name, one.time_s) for one in found] == [
        (MomentName.RAIL_EXIT, 0.4), (MomentName.MAX_SPEED, 2.0), (MomentName.BURNOUT, 2.5),
    ]  # fmt: skip
    assert {gust for _, gust in asked} == {9.0}
    assert [one.name for one in moments_of(nominal, windy, 9.0, guided=False)] == [
        MomentName.MAX_SPEED,
        MomentName.BURNOUT,
    ]
    assert [one.name for one in moments_of(trace(), trace(), 9.0)] == [MomentName.MAX_SPEED]


@pytest.mark.parametrize(
    ("edge", "radius", "judged"),
    [(1.5, 0.1, (0.5, 1.4)), (0.0, 0.1, (0.1, 0.5)), (1.5, 9.0, (0.5, 0.5)), (0.0, 9.0, (0.5, 0.5))],
)
def test_the_crushed_edge_itself_is_not_judged(edge, radius, judged):
    ends = (0.5, 1.5) if edge else (0.0, 0.5)
    assert further_cases._beyond_the_dent(ends, edge, radius) == pytest.approx(judged)


def test_a_landing_stops_the_body_over_what_the_ground_gives(monkeypatch):
    """Force goes with the square of the speed and the inverse of the way that the ground gives."""
    body = lumps([0.5, 1.5], [2.0, 2.0])
    blow = EdgeBlow(station_m=2.0, offset_m=0.0, aft_share=-1.0, cross_share=0.0)
    monkeypatch.setattr(further_cases, "ground_gives", lambda kind: about(0.02, 0.01, 0.04))
    force = further_cases._blow_force(body, blow, about(5.0, 4.0, 6.0), "turf")
    assert force.low == pytest.approx(force.value * (4.0 / 5.0) ** 2 / 2.0)
    assert force.high == pytest.approx(force.value * (6.0 / 5.0) ** 2 * 2.0)
    faster = further_cases._blow_force(body, blow, exact(10.0), "turf")
    assert faster.value == pytest.approx(4.0 * force.value)
    offside = replace(blow, station_m=1.5, aft_share=-math.sqrt(0.5), cross_share=math.sqrt(0.5))
    # Beside the balance point the body turns away: less of its mass is felt.
    assert further_cases._blow_force(body, offside, about(5.0, 4.0, 6.0), "turf").value < force.value


def given(**changes):
    skin = SimpleNamespace(length_m=1.5)
    sheet = SimpleNamespace(
        motor=SimpleNamespace(nozzle_station=quantity(1.5)),
        guide=SimpleNamespace(buttons=[quantity(1.2), quantity(0.6)]),
        recovery=SimpleNamespace(
            joint=[SimpleNamespace(name="joint", station=quantity(0.5))],
            bay=[SimpleNamespace(name="bay", joint="joint")], canopy=(),
        ),
        launch=SimpleNamespace(ground="any", temperature=quantity(288.15)),
    )  # fmt: skip
    motor = SimpleNamespace(
        thrust_spread=0.1,
        times_s=np.array([0.0, 1.0, 2.0, 2.1]),
        thrusts_n=np.array([0.0, 500.0, 400.0, 0.0]),
    )
    body = lumps([0.2, 0.8, 1.4], [1.0, 2.0, 3.0])
    own = SimpleNamespace(sheet=sheet, skin=skin, motor=motor)
    scene = SimpleNamespace(
        vehicle=own, loaded=body, empty=body, rolling=(), cuts_m=np.linspace(0.0, 1.5, 31)
    )
    forces = SimpleNamespace(all_at=lambda pressure, angle: [], drag=lambda pressure, burning=True: [])
    base = {
        "masses": scene, "air": forces, "trace": trace((EventKind.BURNOUT, 2.0)), "study": None,
        "axial_stiffness_n": 1e6,
        "rail_exit": SimpleNamespace(time_s=1.0, alpha_rad=0.1),
        "recovery": SimpleNamespace(charges=(), ground_speed=None, landing_speed=exact(5.0), canopies=()),
    }  # fmt: skip
    return SimpleNamespace(**{**base, **changes})


def test_lifted_at_one_end_it_is_held_two_hundredths_inside_its_ends():
    """6 kg on supports at 30 and 1470 mm: what they bear adds up to its weight, and nothing turns."""
    body = further_cases._lifted(given()).body
    assert body.loads.motion.cross_m_s2 == pytest.approx(9.80665)
    assert body.loads.motion.turn_rad_s2 == pytest.approx(0.0, abs=1e-9)
    # By moments about the fore support: 0.2 m at 1 kg, 0.8 at 2, 1.4 at 3, less 30 mm each, over 1440 mm.
    aft = 9.80665 * (1.0 * 0.17 + 2.0 * 0.77 + 3.0 * 1.37) / 1.44
    held = np.abs(body.loads.shear_n)
    assert held.max() == pytest.approx(aft)
    assert held[body.loads.stations_m < 0.2].max() == pytest.approx(6 * 9.80665 - aft)
    assert (body.axial_factor.low, body.axial_factor.high) == (1.0, 2.0)


def test_on_the_rail_thrust_pushes_and_both_buttons_hold():
    (case,) = further_cases._on_the_rail(given())
    assert case.dynamic_pressure_pa == 900.0
    assert case.body.loads.motion.aft_m_s2 == pytest.approx(-500.0 / 6.0)
    assert case.case.load is Load.RAIL_WIND
    for missing in ({"rail_exit": None},):
        assert list(further_cases._on_the_rail(given(**missing))) == []
    single = given()
    single.masses.vehicle.sheet.guide.buttons = single.masses.vehicle.sheet.guide.buttons[:1]
    assert list(further_cases._on_the_rail(single)) == []
    single.masses.vehicle.sheet.guide = None
    assert list(further_cases._on_the_rail(single)) == []


def test_thrust_that_stops_swings_back_a_share_of_the_last_of_it(monkeypatch):
    monkeypatch.setattr(further_cases, "tail_off", lambda times, thrusts: (0.001, 400.0))
    monkeypatch.setattr(
        further_cases,
        "axial_period",
        lambda stiff, length, mass: 0.01 if (stiff, length, mass) == (1e6, 1.5, 6.0) else math.nan,
    )
    monkeypatch.setattr(
        further_cases,
        "rebound_share",
        lambda fall, period: 0.5 if (fall, period) == (0.001, 0.01) else math.nan,
    )
    case = further_cases._thrust_stops(given())
    # Half of 400 N pulls the nozzle aft: 6 kg.
    assert case.body.loads.motion.aft_m_s2 == pytest.approx(200.0 / 6.0)
    assert case.dynamic_pressure_pa == 3000.0
    assert (case.body.axial_factor.low, case.body.axial_factor.high) == (0.5, 1.5)
    never = further_cases._thrust_stops(given(trace=trace()))
    assert never.dynamic_pressure_pa == 0.0


def test_a_charge_pushes_the_halves_apart(monkeypatch):
    monkeypatch.setattr(further_cases, "parting_force", lambda given, bay: about(600.0, 500.0, 900.0))
    one = given()
    (alone,) = further_cases._partings(one)  # a single lump ahead has no length to bend over
    assert alone.case.half is Half.AFT
    one.masses.empty = lumps([0.1, 0.3, 0.8, 1.4], [0.5, 0.5, 2.0, 3.0])
    aft, fore = further_cases._partings(one)
    assert (aft.case.half, aft.case.load) == (Half.AFT, Load.CHARGE_PUSHES)
    assert aft.body.loads.motion.aft_m_s2 == pytest.approx(600.0 / 5.0)
    assert fore.body.loads.motion.aft_m_s2 == pytest.approx(-600.0)
    assert aft.body.axial_factor.high == pytest.approx(1.5)


def test_charges_followed_in_time_raise_the_high_end_alone(monkeypatch):
    monkeypatch.setattr(further_cases, "all_together", lambda charges, bay, what: about(600.0, 500.0, 900.0))
    followed = SimpleNamespace(
        bursts=[SimpleNamespace(bay="bay", joint_peak_n=1200.0), SimpleNamespace(bay="x", joint_peak_n=9e9)]
    )
    found = further_cases.parting_force(given(study=followed), "bay")
    assert (found.low, found.value, found.high) == (500.0, 600.0, 1200.0)
    followed.bursts[0].joint_peak_n = 700.0
    assert further_cases.parting_force(given(study=followed), "bay").high == 900.0
    assert further_cases.parting_force(given(), "bay").high == 900.0
    monkeypatch.setattr(further_cases, "all_together", lambda charges, bay, what: None)
    assert further_cases.parting_force(given(study=followed), "bay") is None


def test_both_halves_land_on_their_outer_edges_as_fast_as_the_wind_carries_them(monkeypatch):
    asked = []
    monkeypatch.setattr(
        further_cases,
        "_landing",
        lambda given, body, where, speed, half: asked.append((where, speed.value, half, body.mass_kg)),
    )
    body = lumps([0.1, 0.4, 0.8, 1.4], [1.0, 1.0, 2.0, 3.0])

    def landed(**recovery):
        asked.clear()
        one = given()
        one.masses.empty = body
        one.recovery = SimpleNamespace(**{"ground_speed": None, "landing_speed": exact(5.0), **recovery})
        list(further_cases._landings(one))
        return list(asked)

    aft, fore = landed()
    assert aft == (((0.5, 1.5), 1.5), 5.0, Half.AFT, pytest.approx(5.0))
    assert fore == (((0.0, 0.5), 0.0), 5.0, Half.FORE, pytest.approx(2.0))
    assert landed(ground_speed=exact(7.0))[0][1] == 7.0
    assert landed(landing_speed=None) == []
    assert landed(landing_speed=exact(0.0)) == []
    whole = given()
    whole.masses.vehicle.sheet.recovery.joint = []
    asked.clear()
    list(further_cases._landings(whole))
    assert asked == [(((0.0, 1.5), 1.5), 5.0, None, pytest.approx(6.0))]
    # Of several joints the one nearest to the middle counts.
    two = given()
    two.masses.vehicle.sheet.recovery.joint = [
        SimpleNamespace(station=quantity(at)) for at in (0.15, 0.6, 1.4)
    ]
    asked.clear()
    list(further_cases._landings(two))
    assert asked[0][0][0] == (0.6, 1.5)


def test_the_flight_s_end_and_its_tops_are_told(answered):
    flight, flights = answered.flight, answered.basis.flights
    landed = flights.nominal.positions_m[-1]
    assert (flight.landing_east_m, flight.landing_north_m) == (landed[0], landed[1])
    assert flight.flight_time_s == flights.nominal.times_s[-1]
    assert flight.drift.value == pytest.approx(math.hypot(landed[0], landed[1]))
    tops = [float(one.positions_m[:, 2].max()) for one in flights.every]
    assert (flight.apogee_agl.low, flight.apogee_agl.value, flight.apogee_agl.high) == (
        min(tops),
        tops[0],
        max(tops),
    )
    assert flight.max_speed.value == pytest.approx(
        float(np.linalg.norm(flights.nominal.velocities_m_s, axis=1).max()), rel=1e-3
    )
    assert flight.max_mach == pytest.approx(max(float(one.machs.max()) for one in flights.every), rel=1e-3)
    assert flight.lift_off_mass_kg == answered.mass.lift_off.mass_kg
    assert flight.openings[0].canopy == answered.vehicle.sheet.recovery.canopy[0].name


def test_a_wire_between_fins_is_pulled_by_the_difference_of_two_neighbours(monkeypatch):
    """In a gust fins move as a sine round the axis: neighbours of four differ by twice that of 45 degrees."""
    from finial.assemble.strength.fins import stay_study

    monkeypatch.setattr(stay_study, "stay_run", lambda fins, pair: None)
    monkeypatch.setattr(stay_study, "preload_of", lambda *given: exact(50.0))
    monkeypatch.setattr(stay_study, "slack_shift", lambda pair, line: 0.004)
    pulled = SimpleNamespace(tight_n=60.0, inward_n=20.0)
    monkeypatch.setattr(stay_study, "stay_forces", lambda pair, line, shift: pulled)
    monkeypatch.setattr(stay_study, "pair_stiffness", lambda pair, line, fins, pattern: 1e4)
    monkeypatch.setattr(stay_study, "bowing_load", lambda modulus, chord, thickness, reach: 300.0)
    monkeypatch.setattr(stay_study, "wire_strength", lambda vehicle, stay, share: exact(600.0))
    monkeypatch.setattr(stay_study, "wire_drag", lambda line, across, pressure: 2.0)
    monkeypatch.setattr(stay_study, "crossing", lambda *given: None)
    monkeypatch.setattr(stay_study, "replace", lambda pair, preload_n: pair)
    outline = np.array([[0.0, 0.0], [0.04, 0.1], [0.14, 0.1], [0.2, 0.0]])
    stays = SimpleNamespace(anchor_holds=None)
    model = SimpleNamespace(plate=SimpleNamespace(modulus_pa=2e9, thickness_m=0.004))
    loads = SimpleNamespace(warmth=None, pressure_pa=5000.0)

    def studied(to, count):
        fins = SimpleNamespace(count=count, outline_m=outline)
        pair = SimpleNamespace(to=to, outward_m=0.08, diameter_m=0.0012)
        return stay_study._study(None, (SimpleNamespace(fins=fins), stays, pair), 0.002, (model, loads))

    body, between, six = studied("body", 4), studied("next fin", 4), studied("next fin", 6)
    assert (body.shift.low, body.shift.value, body.shift.high) == pytest.approx((0.0014, 0.002, 0.0026))
    assert between.shift.value == pytest.approx(0.002 * math.sqrt(2))
    assert six.shift.value == pytest.approx(0.002)
    # Two wires from each fin to the body, one to the next fin.
    assert (body.drag_n, between.drag_n) == (16.0, 8.0)
    assert body.slack_reserve.value == pytest.approx(2.0)
    assert (body.bowing_n.low, body.bowing_n.high) == pytest.approx((210.0, 390.0))
    assert (body.anchor_holds_n, body.inward_n, body.tight_n.value) == (None, 20.0, 60.0)


def test_items_off_the_axis_are_drawn_by_their_own_tolerances():
    item = SimpleNamespace(name="shot", offset=(quantity(0.0, 0.001), quantity(0.0, 0.002)))
    rows = (SimpleNamespace(name="tower", kind="part"), SimpleNamespace(name="shot", kind="item"))
    found = list(masses.offset_draws(SimpleNamespace(sheet=SimpleNamespace(item=(item,))), rows))
    assert [(one.name, one.base, one.below, one.above) for one in found] == [
        ("shot off the axis, y", 0.0, 0.001, 0.001),
        ("shot off the axis, z", 0.0, 0.002, 0.002),
    ]
    assert found[0].slot != found[1].slot


def test_only_canted_fins_twist_the_body(monkeypatch):
    from finial.assemble.strength import cases

    monkeypatch.setattr(cases, "roll_lumps", lambda rows, ends: rows and (rows, ends))
    monkeypatch.setattr(cases, "torsion_along", lambda body, couples, stations: (body, couples, stations))
    loads = SimpleNamespace(stations_m="stations")
    heavy = SimpleNamespace(rolling="rows", vehicle=SimpleNamespace(skin=SimpleNamespace(length_m=1.5)))
    assert cases._torsion(heavy, (), loads) is None
    assert cases._torsion(heavy, ((0.9, 2.0),), loads) == (("rows", (0.0, 1.5)), ((0.9, 2.0),), "stations")
    light = SimpleNamespace(rolling="", vehicle=heavy.vehicle)
    assert cases._torsion(light, ((0.9, 2.0),), loads) is None


def test_loads_are_about_the_axis_unless_the_balance_point_is_said_to_lie_beside_it(monkeypatch):
    from finial.assemble.air import source

    asked = []
    loads = SimpleNamespace(loads=lambda vehicle, balance, across: asked.append((balance, across)))
    monkeypatch.setattr(source, "air_source", lambda vehicle: loads)
    as_drawn = SimpleNamespace(sheet=SimpleNamespace(flown=None))
    source.air_loads(as_drawn, 0.65)
    source.air_loads(as_drawn, 0.65, (0.001, 0.002))
    assert asked == [(0.65, (0.0, 0.0)), (0.65, (0.001, 0.002))]


def test_a_tied_point_moves_as_the_bent_fin_does_and_not_where_the_fin_is_past_bending(monkeypatch):
    from finial.assemble.strength.fins import stay_study

    monkeypatch.setattr(stay_study, "_study", lambda vehicle, stayed, shift, held: shift)
    row = SimpleNamespace(deflection=np.array([[0.5, -2.0]]))
    monkeypatch.setattr(
        stay_study, "rows_at", lambda model, places: row if places.tolist() == [[0.1, 0.08]] else None
    )
    pair = SimpleNamespace(along_m=0.1, outward_m=0.08)
    build = SimpleNamespace(stays=("one",))
    bent = SimpleNamespace(bent=SimpleNamespace(unknowns=np.array([0.002, 0.001])))
    assert stay_study.stay_studies(None, build, (pair,), None, bent) == (pytest.approx(0.001),)
    assert stay_study.stay_studies(None, build, (pair,), None, SimpleNamespace(bent=None)) == (0.0,)


def test_a_canopy_pulls_as_hard_as_it_ever_opens_and_no_other_s_opening_counts(monkeypatch):
    """Own charges open it with 100 N, a backup with 300; another canopy's 900 N are not its own."""
    pulled = []
    monkeypatch.setattr(
        further_cases, "pulled_half", lambda masses, station, case, load: pulled.append((case, load)) or ()
    )
    monkeypatch.setattr(further_cases, "slanted", lambda load: load)
    asked = given()
    asked.masses.vehicle.sheet.recovery.canopy = (SimpleNamespace(name="main", bay="bay"),)
    asked.recovery.canopies = (SimpleNamespace(opening_load=exact(100.0)),)
    asked.recovery.others = tuple(
        SimpleNamespace(canopy=name, opening_load=exact(force))
        for name, force in (("main", 300.0), ("drogue", 900.0))
    )
    assert list(further_cases._openings(asked)) == []
    assert [(case.subject, case.half, load.value) for case, load in pulled] == [
        ("main", Half.AFT, 300.0),
        ("main", Half.FORE, 300.0),
    ]
