"""Strength between the sheet and the physics: where it is cut, what pulls, what is not known; on paper."""

import math
from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest
from made_by_hand import about

from finial.aero.drag.sources import Acting
from finial.assemble.strength import build, forces, pulls, quick, study
from finial.assemble.strength.fins import quick as fins_quick
from finial.assemble.strength.fins import rows as fins_rows
from finial.assemble.strength.fins import stay_study
from finial.core.estimates import KnownBy, exact
from finial.core.units import Quantity
from finial.structure.loads.case import Half, Load
from finial.structure.reserves import MOST, Because, FailureMode


def quantity(value):
    return Quantity(value=value, text="")


# ---------------------------------------------------------------- cuts


def part(name, span, *, outside=True, outline=0.01):
    return SimpleNamespace(spec=SimpleNamespace(name=name, outside=outside), span_m=span, mended=outline)


def vehicle(*parts, joints=()):
    recovery = SimpleNamespace(joint=[SimpleNamespace(station=quantity(at)) for at in joints])
    return SimpleNamespace(parts=parts, sheet=SimpleNamespace(recovery=recovery))


def test_the_wall_at_a_station_is_the_outside_part_with_the_largest_outline(monkeypatch):
    monkeypatch.setattr(build, "own_cuts", lambda mended, stations: [SimpleNamespace(outline_m2=mended)])
    nose, tower = part("nose", (0.0, 0.5), outline=0.02), part("tower", (0.4, 1.2), outline=0.03)
    own = vehicle(nose, tower, part("sled", (0.0, 1.2), outside=False, outline=9.0))
    assert build.part_at(own, 0.2) is nose
    assert build.part_at(own, 0.45) is tower
    assert build.part_at(own, 0.4) is tower
    assert build.part_at(own, 0.5) is tower
    assert build.part_at(own, 1.2) is tower
    assert build.part_at(own, 1.3) is None


@pytest.mark.parametrize(
    ("joints", "stations"),
    [((), [0.4, 0.8]), ((0.425,), [0.8]), ((0.375,), [0.8]), ((0.435,), [0.4, 0.8]), ((0.4, 0.8), [])],
)
def test_parts_meet_where_one_ends_unless_they_separate_within_three_centimetres(joints, stations):
    own = vehicle(
        part("b", (0.4, 0.8)),
        part("a", (0.0, 0.4)),
        part("c", (0.8, 1.2)),
        part("x", (0.1, 0.2), outside=False),
        joints=joints,
    )
    found = list(build.part_joints(own))
    assert [station for station, _ in found] == pytest.approx(stations)
    assert [ahead.spec.name for _, ahead in found] == [{0.4: "a", 0.8: "b"}[station] for station in stations]


def test_a_shoulder_meets_a_millimetre_behind_the_fore_end_of_the_part_it_slides_into():
    found = list(build.part_joints(vehicle(part("a", (0.0, 0.45)), part("b", (0.4, 0.8)))))
    assert found[0][0] == pytest.approx(0.401)


def test_the_body_is_cut_evenly_and_at_every_joint_with_the_walls_of_its_sheet(lighthouse):
    cuts = build.wall_cuts(build.build_of(lighthouse))
    even = [cut for cut in cuts if not cut.joint]
    length = lighthouse.skin.length_m
    stations = np.array([cut.station_m for cut in even])
    assert stations == pytest.approx(np.linspace(0.02, 0.98, 20) * length)
    for cut in cuts:
        assert cut.part.span_m[0] <= cut.station_m <= cut.part.span_m[1] + 1e-9
        assert cut.infill_depth_m > 0.0
        assert 0.0 < cut.flat_length_m <= cut.part.span_m[1] - cut.part.span_m[0] + 1e-9
    apart = [joint.station.value for joint in lighthouse.sheet.recovery.joint]
    meeting = [cut for cut in cuts if cut.joint]
    assert len(meeting) == len(lighthouse.sheet.part) - 1 - len(apart)
    assert all(abs(cut.station_m - at) > 0.03 for cut in meeting for at in apart)


# ---------------------------------------------------------------- forces of the air


class Drag(SimpleNamespace):
    """Drag of an area of 0.02 m2, told apart by identity as the build-up is."""

    reference_area_m2 = 0.02
    __hash__ = object.__hash__


def air(**changes):
    row = SimpleNamespace(acts=Acting(stations_m=[0.0, 1.0], ahead=[0.0, 1.0]), coefficient=exact(0.4))
    base = SimpleNamespace(acts=Acting(stations_m=[1.0, 1.0], ahead=[0.0, 1.0]), coefficient=exact(0.1))
    drag = Drag(sources=lambda burning: (row,) if burning else (row, base))
    fin = SimpleNamespace(
        slope_per_rad=np.diag([6.0, 4.0]), fins=SimpleNamespace(station_m=0.7, count=4),
        centre_m=0.8, cant_moment=0.05,
        planform=SimpleNamespace(root_chord_m=0.2),
    )  # fmt: skip
    result = SimpleNamespace(load_stations_m=np.array([0.0, 1.0]), load_per_m=np.array([2.0, 2.0]))
    own = SimpleNamespace(skin=SimpleNamespace(reference_area_m2=0.02, width_m=0.16))
    return forces.AirForces(
        vehicle=own, air=SimpleNamespace(drag=drag, fins=(fin,), along=None, result=result, **changes)
    )


def total(found):
    """Sum of point and line forces: aft and across [N]."""
    aft = across = 0.0
    for one in found:
        if hasattr(one, "stations_m"):
            aft += float(np.trapezoid(one.aft_n_per_m, one.stations_m))
            across += float(np.trapezoid(one.cross_n_per_m, one.stations_m))
        else:
            aft, across = aft + one.aft_n, across + one.cross_n
    return aft, across


def test_drag_is_pressure_times_area_times_coefficient_and_coasting_has_its_base():
    assert total(air().drag(5000.0)) == pytest.approx((5000.0 * 0.02 * 0.4, 0.0))
    assert total(air().drag(5000.0, burning=False)) == pytest.approx((5000.0 * 0.02 * 0.5, 0.0))


def test_all_forces_across_are_those_of_body_and_fins():
    aft, across = total(air().all_at(5000.0, 0.1))
    # Body: a slope of 2 over its metre; fins: the larger of theirs, spread over the root from 0.7 to 0.9 m.
    assert aft == pytest.approx(40.0)
    assert abs(across) == pytest.approx(5000.0 * 0.02 * 0.1 * (2.0 + 6.0), rel=1e-3)  # sine and angle
    root = air().all_at(5000.0, 0.1)[-1]
    assert root.stations_m.tolist() == pytest.approx([0.7, 0.9])


def test_cant_twists_about_the_axis_by_pressure_area_and_width():
    assert air().roll_couples(5000.0) == ((0.8, pytest.approx(5000.0 * 0.02 * 0.16 * 0.05)),)
    straight = air()
    straight.air.fins[0].cant_moment = 0.0
    assert straight.roll_couples(5000.0) == ()


# ---------------------------------------------------------------- what pulls


def test_a_pull_of_unknown_angle_is_as_hard_along_as_across():
    found = pulls.slanted(about(100.0, 80.0, 120.0))
    assert found.along.value == found.across.value == pytest.approx(100.0 / math.sqrt(2))
    assert found.along.high == pytest.approx(120.0 / math.sqrt(2))


def test_the_harder_of_a_cord_s_stop_and_the_openings_pulls_at_its_joint():
    cord = SimpleNamespace(name="cord", joint="second")
    joints = [
        SimpleNamespace(name=name, station=quantity(at)) for name, at in (("first", 0.2), ("second", 0.5))
    ]
    sheet = SimpleNamespace(recovery=SimpleNamespace(joint=joints, cord=(cord,)))
    recovery = SimpleNamespace(
        canopies=(SimpleNamespace(opening_load=about(500.0, 400.0, 900.0)),),
        cords=(SimpleNamespace(name="cord", peak_load=about(700.0, 600.0, 800.0)),),
        others=(),
    )
    (pull,) = pulls.quick_pulls(sheet, recovery)
    assert (pull.subject, pull.station_m, pull.load) == ("cord", 0.5, Load.CORD_PULLS)
    assert pull.on[Half.FORE].along.high == pytest.approx(900.0 / math.sqrt(2))
    recovery.canopies = ()
    assert pulls.quick_pulls(sheet, recovery)[0].on[Half.AFT].across.high == pytest.approx(
        800.0 / math.sqrt(2)
    )


def test_pulls_followed_in_time_are_the_middle_one_between_the_least_and_the_most():
    tether = SimpleNamespace(closed_form=about(1.0, 1.0, 1.0, KnownBy.HANDBOOK))
    found = pulls._spread([30.0, 10.0, 50.0, 20.0], tether)
    assert (found.low, found.value, found.high, found.known_by) == (10.0, 30.0, 50.0, KnownBy.HANDBOOK)


def test_a_case_within_a_second_is_on_time_and_the_others_are_late():
    def case(offset, along):
        end = SimpleNamespace(along_n=along, across_n=along / 2)
        return SimpleNamespace(
            offset_s=offset, on_fore=end, on_aft=SimpleNamespace(along_n=2 * along, across_n=along)
        )

    tether = SimpleNamespace(
        cord="cord", joint="joint", closed_form=exact(1.0),
        cases=[case(-1.0, 10.0), case(1.0, 20.0), case(1.5, 30.0)], spread=[case(0.0, 40.0)],
    )  # fmt: skip
    joint = SimpleNamespace(name="joint", station=quantity(0.5))
    sheet = SimpleNamespace(recovery=SimpleNamespace(joint=[joint]))
    timely, late = pulls._followed(sheet, tether)
    assert (timely.load, late.load) == (Load.CORD_PULLS, Load.CORD_PULLS_LATE)
    assert (timely.on[Half.FORE].along.low, timely.on[Half.FORE].along.high) == (10.0, 40.0)
    assert (late.on[Half.AFT].along.value, late.on[Half.AFT].across.value) == (60.0, 30.0)


# ---------------------------------------------------------------- quick rows


def test_every_bay_is_judged_by_what_was_followed_or_by_all_its_charges(monkeypatch):
    monkeypatch.setattr(quick, "sheet_bay_wall", lambda sheet, bay: "wall" if bay.name == "round" else None)
    monkeypatch.setattr(
        quick,
        "bay_wall_reserve",
        lambda wall, pressure: quick.Reserve(
            mode=FailureMode.BAY_BURSTS, station_m=0.0, dimension=quick.Dimension.PRESSURE, load=pressure
        ),
    )

    def bay(name):
        return SimpleNamespace(name=name, stations=(quantity(0.2), quantity(0.5)))

    sheet = SimpleNamespace(recovery=SimpleNamespace(bay=[bay("round"), bay("flat"), bay("calm")]))
    charges = tuple(
        SimpleNamespace(name=name, bay=name, backup_of="", pressure=exact(1e5)) for name in ("round", "flat")
    )
    own, recovery = SimpleNamespace(sheet=sheet), SimpleNamespace(charges=charges)
    judged, unsaid = quick.bay_rows(own, quick.bay_pressures(own, recovery))
    assert (judged.subject, judged.load.value, judged.case.load) == ("round", 1e5, Load.CHARGE_FIRES)
    assert (unsaid.because, unsaid.reserve, unsaid.station_m) == (
        Because.BAY_UNSAID,
        None,
        pytest.approx(0.35),
    )
    followed = quick.bay_pressures(own, recovery, {"round": exact(2e5), "calm": exact(3e5)})
    assert {name: one.value for name, one in followed.items()} == {"round": 2e5, "flat": 1e5, "calm": 3e5}


def test_each_print_nobody_broke_is_told_once_and_every_loose_joint():
    def wall(at, subject):
        return SimpleNamespace(station_m=at, subject=subject, because=Because.LAYERS_UNKNOWN)

    cuts = SimpleNamespace(
        unknown=[wall(0.3, "PETG"), wall(0.5, "PETG"), wall(0.7, "PLA")], unheld=[(0.4, "nose")]
    )
    assert [(row.station_m, row.subject, row.reserve) for row in quick.unknown_layers(cuts)] == [
        (0.3, "PETG", None),
        (0.7, "PLA", None),
    ]
    (loose,) = quick.unheld_rows(cuts)
    assert (loose.mode, loose.station_m, loose.subject, loose.reserve) == (
        FailureMode.JOINT_UNHELD,
        0.4,
        "nose",
        None,
    )


def test_the_worst_of_each_station_is_told_with_its_mode_and_case():
    """Two modes, three cases, two stations; an unknown wall stands beside them, and none beside a number."""
    lows = np.full((len(quick.MODES), 3, 2), np.nan)
    lows[0, 0] = [5.0, 2.0]
    lows[1, 2] = [3.0, 9.0]
    lows[0, 1] = [0.1, 0.1]
    grid = SimpleNamespace(
        lows=lows,
        stack=SimpleNamespace(stations_m=np.array([0.3, 0.6])),
        cases=[SimpleNamespace(case=name) for name in "abc"],
    )
    cuts = SimpleNamespace(unknown=[SimpleNamespace(station_m=0.1), SimpleNamespace(station_m=0.6)])
    found = quick.by_station(cuts, grid, (0, 2))
    assert found.stations_m.tolist() == [0.1, 0.3, 0.6]
    assert np.isnan(found.reserves[0])
    assert found.reserves[1:].tolist() == [3.0, 2.0]
    assert found.modes == (None, quick.MODES[1], quick.MODES[0])
    assert found.cases == (None, "c", "a")


def test_the_top_speed_is_over_all_flights():
    traces = [SimpleNamespace(airspeeds_m_s=np.array([0.0, top])) for top in (90.0, 80.0, 110.0)]
    found = fins_quick.top_speed(traces)
    assert (found.low, found.value, found.high) == (80.0, 90.0, 110.0)


def test_fins_of_unknown_stuff_are_not_known_twice():
    rows = list(fins_quick.unknown_fins(SimpleNamespace(fins=SimpleNamespace(name="fins", station_m=0.9))))
    assert [row.mode for row in rows] == [FailureMode.FIN_BREAKS, FailureMode.FIN_FLUTTERS]
    assert {(row.reserve, row.because, row.station_m) for row in rows} == {
        (None, Because.MATERIAL_UNSAID, 0.9)
    }


def test_fins_without_stays_are_screened_and_with_stays_the_screen_says_nothing(monkeypatch):
    monkeypatch.setattr(fins_quick, "screened", lambda vehicle, one: about(200.0, 150.0, 250.0))
    bare = SimpleNamespace(fins=SimpleNamespace(name="fins", station_m=0.9), stays=())
    row = fins_quick._flutter_row(None, bare, about(100.0, 90.0, 120.0))
    assert row.reserve.low == pytest.approx(150.0 / 120.0)
    assert row.because is Because.SCREEN_ONLY
    bare.stays = ("one",)
    tied = fins_quick._flutter_row(None, bare, about(100.0, 90.0, 120.0))
    assert (tied.reserve, tied.because) == (None, Because.STAYS_UNSEEN)


def test_one_fin_bears_half_of_a_set_of_four_give_or_take_three_tenths(monkeypatch):
    asked = []
    plain = quick.Reserve(mode=FailureMode.FIN_BREAKS, station_m=0.9, dimension=quick.Dimension.PRESSURE)
    monkeypatch.setattr(
        fins_quick,
        "fin_builds",
        lambda vehicle, fins: (
            [SimpleNamespace(stuff="it", thickness=None, strength=None, fins=None)] * len(fins)
        ),
    )
    monkeypatch.setattr(
        fins_quick,
        "fin_reserve",
        lambda outline, thick, force, holds, station_m: asked.append(force) or plain,
    )
    monkeypatch.setattr(fins_quick, "_flutter_row", lambda *given: plain)

    def fin(count):
        return SimpleNamespace(
            slope_per_rad=np.diag([6.0, 4.0]),
            fins=SimpleNamespace(name="fins", count=count, outline_m=None, station_m=0.9),
        )

    own = SimpleNamespace(skin=SimpleNamespace(reference_area_m2=0.02))
    fast = SimpleNamespace(dynamic_pressure_pa=5000.0, angle_rad=0.1, case="fast"), None
    rows = list(fins_quick.quick_fin_rows(own, SimpleNamespace(fins=[fin(4), fin(1)]), fast))
    assert [force.value for force in asked] == pytest.approx([30.0, 60.0])
    assert (asked[0].low, asked[0].high) == pytest.approx((21.0, 39.0))
    assert len(rows) == 4
    still = SimpleNamespace(dynamic_pressure_pa=0.0, angle_rad=0.1, case="fast"), None
    assert list(fins_quick.quick_fin_rows(own, SimpleNamespace(fins=[fin(4)]), still)) == []


# ---------------------------------------------------------------- fins and stays in rows


def stayed(**changes):
    pair = SimpleNamespace(to="body", along_m=0.1, diameter_m=0.0012)
    usual = {
        "pair": pair, "shift": about(0.002, 0.001, 0.003), "slack_at": about(0.004, 0.003, 0.005),
        "slack_reserve": about(2.0, 1.0, 5.0), "tight_n": about(100.0, 80.0, 120.0),
        "strength_n": exact(600.0),
        "inward_n": 50.0, "bowing_n": exact(400.0), "anchor_holds_n": exact(240.0), "crosses_body_at_m": None,
    }  # fmt: skip
    return SimpleNamespace(**{**usual, **changes})


def fin(*stays, **held):
    usual = {"stress": about(10e6, 8e6, 20e6), "stress_at_m": (0.05, 0.0),
             "flutter": about(150.0, 120.0, 180.0),
             "flutter_all_alike": None, "flutter_hz": 30.0}  # fmt: skip
    return SimpleNamespace(
        name="fins", station_m=0.9, strength=exact(60e6), top_speed=about(90.0, 80.0, 100.0), stays=stays,
        root_glue=None, held=SimpleNamespace(**{**usual, **held}),
    )  # fmt: skip


def rows_of(one):
    return {row.mode: row for row in fins_rows.fin_rows(one)}


def test_fins_break_where_the_stress_is_and_run_away_at_the_lower_of_both_ways_to_swing():
    rows = rows_of(fin())
    assert rows[FailureMode.FIN_BREAKS].station_m == pytest.approx(0.95)
    assert rows[FailureMode.FIN_BREAKS].reserve.low == pytest.approx(3.0)
    swing = rows[FailureMode.FIN_FLUTTERS_BY_MODES]
    assert (swing.reserve.low, swing.because, swing.numbers) == (
        pytest.approx(1.2),
        Because.SWINGS,
        {"hz": 30.0},
    )
    alike = rows_of(fin(flutter_all_alike=about(130.0, 110.0, 140.0)))[FailureMode.FIN_FLUTTERS_BY_MODES]
    assert (alike.reserve.low, alike.because) == (pytest.approx(1.1), Because.ALL_ALIKE)
    later = rows_of(fin(flutter_all_alike=about(300.0, 200.0, 400.0)))[FailureMode.FIN_FLUTTERS_BY_MODES]
    assert (later.reserve.low, later.because) == (pytest.approx(1.2), Because.SWINGS)
    still = rows_of(fin(flutter=None))[FailureMode.FIN_FLUTTERS_BY_MODES]
    assert (still.reserve.value, still.because) == (MOST, Because.NO_GROWTH)
    turned = rows_of(fin(flutter_hz=0.0))[FailureMode.FIN_FLUTTERS_BY_MODES]
    assert turned.because is Because.TWISTS_AWAY
    only_alike = rows_of(fin(flutter=None, flutter_all_alike=about(130.0, 110.0, 140.0)))
    assert only_alike[FailureMode.FIN_FLUTTERS_BY_MODES].because is Because.ALL_ALIKE
    assert FailureMode.FIN_BREAKS not in rows_of(fin(stress=None))


def test_glue_at_the_root_is_a_row_where_it_is_named():
    one = fin()
    assert FailureMode.FIN_ROOT_LETS_GO not in rows_of(one)
    one.root_glue = (about(5e6, 4e6, 10e6), exact(20e6))
    row = rows_of(one)[FailureMode.FIN_ROOT_LETS_GO]
    assert (row.reserve.low, row.station_m) == (pytest.approx(2.0), 0.9)


def test_a_stay_slackens_breaks_bows_its_fin_or_leaves_its_anchor():
    rows = rows_of(fin(stayed()))
    assert rows[FailureMode.STAY_SLACKENS].reserve.value == 2.0
    assert rows[FailureMode.STAY_SLACKENS].numbers == {"stay": 1.0, "shift": 0.002}
    assert rows[FailureMode.STAY_BREAKS].reserve.low == pytest.approx(5.0)
    assert rows[FailureMode.STAY_BOWS_FIN].reserve.value == pytest.approx(8.0)
    assert rows[FailureMode.STAY_ANCHOR_LETS_GO].reserve.low == pytest.approx(2.0)
    assert rows[FailureMode.STAY_BREAKS].station_m == pytest.approx(1.0)
    assert FailureMode.STAY_CROSSES_BODY not in rows
    unsaid = rows_of(fin(stayed(anchor_holds_n=None)))[FailureMode.STAY_ANCHOR_LETS_GO]
    assert (unsaid.reserve, unsaid.because) == (None, Because.ANCHOR_UNSAID)
    between = stayed(anchor_holds_n=None, pair=SimpleNamespace(to="next fin", along_m=0.1))
    assert FailureMode.STAY_ANCHOR_LETS_GO not in rows_of(fin(between))
    through = rows_of(fin(stayed(crosses_body_at_m=1.05, slack_reserve=None)))
    assert (
        through[FailureMode.STAY_CROSSES_BODY].station_m,
        through[FailureMode.STAY_CROSSES_BODY].reserve.value,
    ) == (1.05, 0.0)
    assert FailureMode.STAY_SLACKENS not in through
    slack = rows_of(fin(stayed(inward_n=0.0)))[FailureMode.STAY_BOWS_FIN]
    assert slack.reserve.value == MOST
    two = [
        row.numbers["stay"]
        for row in fins_rows.fin_rows(fin(stayed(), stayed()))
        if row.mode is FailureMode.STAY_BREAKS
    ]
    assert two == [1.0, 2.0]


def test_a_wire_is_tightened_by_warm_walls_and_never_pushes(monkeypatch):
    stuffs = {"wire": about(11e-6, 11e-6, 11e-6), "wall": about(60e-6, 50e-6, 70e-6)}
    monkeypatch.setattr(
        stay_study, "sheet_material", lambda sheet, name: SimpleNamespace(expansion_per_k=stuffs[name])
    )
    monkeypatch.setattr(
        stay_study, "part_at", lambda vehicle, station: SimpleNamespace(spec=SimpleNamespace(material="wall"))
    )
    monkeypatch.setattr(stay_study, "usual_share", lambda given, what: about(50.0, 45.0, 55.0))
    monkeypatch.setattr(
        stay_study,
        "warmed_tension",
        lambda pair, run, structure_per_k, wire_per_k, warmer_by_k: (
            1e5 * (structure_per_k - wire_per_k) * warmer_by_k
        ),
    )
    own = SimpleNamespace(sheet=None, skin=SimpleNamespace(length_m=1.2))
    one = SimpleNamespace(
        fins=SimpleNamespace(station_m=0.9), stuff=SimpleNamespace(expansion_per_k=about(65e-6, 60e-6, 80e-6))
    )
    room = stay_study.ROOM_K

    def tension(low, high):
        warmth = about(room, room + low, room + high)
        return stay_study.preload_of(
            own, one, SimpleNamespace(material="wire", preload=None), (None, None), warmth
        )

    warm = tension(0.0, 20.0)
    assert (warm.low, warm.value) == (45.0, 50.0)
    assert warm.high == pytest.approx(55.0 + 1e5 * (80e-6 - 11e-6) * 20.0)
    cold = tension(-5.0, 0.0)
    assert cold.high == pytest.approx(55.0)
    assert cold.low == pytest.approx(45.0 - 1e5 * (80e-6 - 11e-6) * 5.0)
    assert tension(-30.0, 0.0).low == 0.0


# ---------------------------------------------------------------- the long look as a whole


def test_the_hardest_shot_of_each_bay_that_was_followed_is_taken():
    def burst(bay, *highs):
        return SimpleNamespace(
            bay=bay, shots=[SimpleNamespace(peak=about(high / 2, 0.0, high)) for high in highs]
        )

    followed = SimpleNamespace(bursts=[burst("a", 1e5, 3e5, 2e5), burst("b")])
    found = study._followed_pressures(followed)
    assert {bay: one.high for bay, one in found.items()} == {"a": 3e5}
    assert study._followed_pressures(None) == {}


def test_cuts_are_springs_in_a_row():
    """Two of 2 and 6 MN: the mean is twice the inverse of the sum of the inverses, 3 MN."""
    assert study._mean_stiffness(SimpleNamespace(ea=np.array([[2e6, 0.0], [6e6, 0.0]]))) == pytest.approx(3e6)
    assert study._mean_stiffness(SimpleNamespace(ea=np.zeros((0, 3)))) == 1e6


def test_shares_are_told_where_the_rods_run():
    rods = [
        SimpleNamespace(stations=(quantity(0.2), quantity(0.5))),
        SimpleNamespace(stations=(quantity(0.7), quantity(0.9))),
    ]
    own, stack = (
        SimpleNamespace(sheet=SimpleNamespace(rod=rods)),
        SimpleNamespace(stations_m=np.array([0.2, 0.3, 0.5, 0.6, 0.8])),
    )
    assert study._along_rods(own, stack).tolist() == [False, True, False, False, True]
    own.sheet.rod = []
    assert study._along_rods(own, stack).tolist() == [False] * 5
    assert study._worst_station(stack, np.array([np.nan, 3.0, 2.0, np.nan, 9.0]), 0.1) == 0.5
    assert study._worst_station(stack, np.full(5, np.nan), 0.1) == 0.1
    grid = SimpleNamespace(entry=lambda row, case, cut: SimpleNamespace(reserve=(row, case, cut)))
    assert study._least(grid, (4, 2), np.array([np.nan, 3.0, 2.0, np.nan, 9.0])) == (4, 2, 2)
    assert study._least(grid, (4, 2), np.full(5, np.nan)) is None


def test_rods_take_their_share_of_the_load_of_the_example(answered, lighthouse):
    from finial.assemble.strength.cuts import ROOM, cuts_through

    given = study.StrengthInputs(recovery=answered.recovery, followed=None, ends=(), wanted_ratio=1.25)
    cuts = cuts_through(lighthouse, ROOM)
    cases = study.all_cases(answered.basis, given, cuts.stack)
    grid = study.body_reserves(cuts.stack, [case.body for case in cases])
    rows = list(study._shares(lighthouse, ROOM, (grid, cases)))
    assert rows
    (rod,) = lighthouse.sheet.rod
    for row in rows:
        assert rod.stations[0].value < row.station_m < rod.stations[1].value
        assert 0.3 < row.rod_share < 1.0  # aluminium of 4 x 36.6 mm2 beside some hundred mm2 of plastic
        if row.pulled_with and row.pulled_without:
            assert row.pulled_with.low >= row.pulled_without.low * (1 - 1e-6)
    bare = replace(lighthouse, sheet=lighthouse.sheet.model_copy(update={"rod": ()}))
    assert list(study._shares(bare, ROOM, (grid, cases))) == []


def test_a_pair_that_holds_nothing_is_no_spring(monkeypatch):
    from finial.assemble.strength.fins import study as fins_study

    holds = {"first": 0.0, "second": 5.0}
    pairs = [SimpleNamespace(name=name, along_m=0.1, outward_m=0.05) for name in holds]
    monkeypatch.setattr(fins_study, "stay_run", lambda fins, pair: None)
    monkeypatch.setattr(
        fins_study,
        "pair_stiffness",
        lambda pair, run, fins, pattern: holds[pair.name] * fins * (pattern == "alike"),
    )
    monkeypatch.setattr(fins_study, "with_springs", lambda model, springs: (model, springs))
    monkeypatch.setattr(fins_study, "flexible_fin", lambda model, grid: (*model, grid))
    scene = SimpleNamespace(
        fin=SimpleNamespace(fins=SimpleNamespace(count=4)), models={-1.0: "soft"}, grid="grid"
    )
    found = fins_study.FinScene.with_pairs(scene, -1.0, pairs, "alike")
    assert found == ("soft", [((0.1, 0.05), 20.0)], "grid")
    assert fins_study.FinScene.with_pairs(scene, -1.0, pairs, "by turns")[1] == []
