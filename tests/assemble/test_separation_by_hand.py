"""A separation from a few entries: pieces and lines, remedies, cords and landings on paper."""

import math
from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest
from made_by_hand import QUARTER

from finial.assemble.recovery import lines, pulls, quick, scene, zipper
from finial.assemble.recovery.halves import Side
from finial.assemble.recovery.inputs import Apart
from finial.assemble.recovery.records import LipEdge, RemedyKind, StartDoubt
from finial.assemble.recovery.results import LandingPiece
from finial.assemble.recovery.start import SeparationStart
from finial.core.estimates import Estimate, KnownBy, exact
from finial.files.sheet_recovery import BayEntry, CanopyEntry, CordEntry, PowderChargeEntry
from finial.recovery.cords.kinds import cord_named
from finial.recovery.tether.scene import Piece

KNOWN = cord_named("nylon webbing 1000 lbf")


def about(value, low, high):
    return Estimate(value=value, low=low, high=high, known_by=KnownBy.COMPUTED, method="")


def bay(**given):
    usual = {"name": "bay", "joint": "joint", "stations": ["550 mm", "800 mm"], "diameter": "80 mm"}
    return BayEntry.model_validate({**usual, "round_tube": True, **given})


def cord(**given):
    usual = {"name": "cord", "joint": "joint", "material": "nylon webbing 1000 lbf", "length": "6 m"}
    return CordEntry.model_validate({**usual, **given})


def canopy(**given):
    usual = {"name": "main", "bay": "bay", "kind": "flat circular", "event": "apogee", "station": "650 mm"}
    usual |= {"diameter": "2 m", "diameter_measures": "nominal", "mass": "250 g"}
    return CanopyEntry.model_validate({**usual, **given})


def side(mass_kg, station_m, reach_m=0.25):
    piece = Piece(name="", mass_kg=mass_kg, inertia_kg_m2=0.1, fore_m=reach_m, aft_m=reach_m)
    return Side(piece=piece, station_m=station_m)


def rig(**changes):
    """2 kg balanced at 300 mm, 6 kg at 900 mm, parted at 500 mm; the bay is in the aft side."""
    given = {"bay": bay(), "cord": cord(canopy_at="25 %", mass_per_length="10 g/m"), "canopy": canopy()}
    given |= {key: changes.pop(key) for key in ("bay", "cord", "canopy") if key in changes}
    made = scene.rig_of(
        (side(2.0, 0.3), side(6.0, 0.9)), 0.5, (given["bay"], given["cord"], given["canopy"]), 8.0
    )
    return replace(made, **changes)


def start(**changes):
    calm = SeparationStart(wind="day", offset_s=0.0, along_m_s=3.0, up_m_s=-1.0, angle_rad=0.0,
                           rate_rad_s=0.0, height_m=100.0, density_kg_m3=1.1, pressure_pa=1e5)  # fmt: skip
    return replace(calm, **changes)


# ---------------------------------------------------------------- pieces and lines


def test_the_cord_runs_from_the_closed_end_past_the_mouth_and_from_the_other_side():
    tube, other = scene._cord_lines(rig())
    # A quarter of 6 m on the fore side of the canopy's knot; the bay is aft.
    assert (tube.length_m, other.length_m) == pytest.approx((4.5, 1.5))
    assert (tube.first.piece, tube.second.piece, other.first.piece) == (scene.AFT, scene.LINK, scene.FORE)
    # Tied at 800 mm, 100 mm ahead of the balance point at 900; out of the mouth at 500.
    assert tube.first.along_m == pytest.approx(0.1)
    assert (tube.mouth.along_m, tube.mouth.radius_m, tube.mouth.towards_fore) == pytest.approx(
        (0.4, 0.04, True)
    )
    # On the other side at the joint itself, 200 mm behind its balance point.
    assert (other.first.along_m, other.mouth) == (pytest.approx(-0.2), None)
    stiff = KNOWN.breaking_load_n.value / KNOWN.stretch_at_break.value
    assert tube.load_per_stretch_n == pytest.approx(stiff)
    assert other.load_per_stretch_n == pytest.approx(stiff)


def test_a_bay_ahead_of_the_joint_turns_it_round():
    ahead = rig(bay=bay(stations=["100 mm", "450 mm"]))
    assert (ahead.bay_is_aft, rig().bay_is_aft) == (False, True)
    tube, other = scene._cord_lines(ahead)
    assert (tube.length_m, other.length_m) == pytest.approx((1.5, 4.5))
    assert (tube.first.piece, other.first.piece) == (scene.FORE, scene.AFT)
    # Tied at 100 mm, 200 ahead of its balance point; the mouth opens aft, 200 behind it.
    assert tube.first.along_m == pytest.approx(0.2)
    assert (tube.mouth.along_m, tube.mouth.towards_fore) == (pytest.approx(-0.2), False)
    assert other.first.along_m == pytest.approx(0.4)


@pytest.mark.parametrize(("at", "share"), [("0 %", 0.02), ("100 %", 0.98)])
def test_the_knot_is_never_at_the_very_end_of_the_cord(at, share):
    _, other = scene._cord_lines(rig(cord=cord(canopy_at=at)))
    assert other.length_m == pytest.approx(6.0 * share)


def test_a_scene_has_both_sides_the_link_and_the_canopy_on_its_lines():
    made, launch = scene.scene_of(rig(), start())
    assert [piece.mass_kg for piece in made.pieces] == pytest.approx([2.0, 6.0, 0.03 + 0.01 * 3.0, 0.25])
    assert (len(made.lines), made.density_kg_m3) == (3, 1.1)
    # 1.15 of the nominal diameter; common practice.
    assert made.lines[2].length_m == pytest.approx(2.3)
    (filling,) = made.fillings
    assert (filling.piece, filling.line) == (scene.CANOPY, 2)
    assert filling.bundle_area_m2 == pytest.approx(QUARTER * 0.08**2)
    assert filling.full_area_m2 == pytest.approx(rig().canopy_area_m2)
    assert filling.distance_m == rig().filling_m
    assert launch.places_m.shape == (4, 2)
    given, _ = scene.scene_of(rig(canopy=canopy(line_length="3 m")), start())
    assert given.lines[2].length_m == 3.0
    bare, alone = scene.scene_of(rig(canopy=None), start())
    assert (len(bare.pieces), len(bare.lines), bare.fillings, alone.places_m.shape) == (3, 2, (), (3, 2))


def test_what_nobody_weighed_is_a_usual_cord():
    unknown = cord(breaking_load="4 kN", stretch_at_break="20 %")
    made, _ = scene.scene_of(rig(cord=unknown), start())
    assert made.pieces[2].mass_kg == pytest.approx(0.03 + 0.02 * 3.0)
    # Lines of the canopy are as stiff for their length as the cord.
    assert [one.load_per_stretch_n for one in made.lines] == pytest.approx([4000.0 / 0.2] * 3)


# ---------------------------------------------------------------- cords


def test_a_cord_is_its_kind_with_the_sheet_s_own_numbers_laid_over_it():
    plain = lines.sheet_cord(cord())
    assert (plain.breaking_load_n, plain.stretch_at_break, plain.rebound) == (
        KNOWN.breaking_load_n, KNOWN.stretch_at_break, KNOWN.rebound,
    )  # fmt: skip
    own = lines.sheet_cord(cord(breaking_load="3 kN", width="20 mm", mass_per_length="12 g/m"))
    assert (own.breaking_load_n.value, own.width_m, own.mass_kg_per_m) == pytest.approx((3000.0, 0.02, 0.012))
    assert own.stretch_at_break == KNOWN.stretch_at_break
    stretched = lines.sheet_cord(cord(stretch_at_break="15 %"))
    assert (stretched.stretch_at_break.value, stretched.breaking_load_n) == (0.15, KNOWN.breaking_load_n)
    unknown = lines.sheet_cord(cord(breaking_load="3 kN", stretch_at_break="15 %"))
    assert (unknown.mass_kg_per_m, unknown.width_m, unknown.source) == (None, None, "the build sheet")


def test_a_knot_keeps_half_of_a_cord_unless_told():
    """Jacobson, Knots for the Outdoors: a figure of eight keeps 48 %."""
    half = lines.strength_of(cord(breaking_load="4 kN", stretch_at_break="20 %"))
    assert half.value == pytest.approx(2000.0)
    assert lines.strength_of(
        cord(breaking_load="4 kN", stretch_at_break="20 %", knot_keeps="80 %")
    ).value == pytest.approx(3200.0)


def states(**changes):
    usual = {
        "apart": {"joint": Apart(fore_kg=exact(2.0), aft_kg=exact(6.0))},
        "ground_pressure_pa": 100e3,
        "out_pressure_pa": {},
        "wind_m_s": about(4.0, 2.0, 6.0),
        "pieces_kg": (exact(2.0), exact(6.0)),
        "ground_density_kg_m3": exact(1.2),
        "top_agl_m": about(400.0, 350.0, 450.0),
        "parted_area_m2": None,
    }
    return SimpleNamespace(**{**usual, **changes})


def recovery(*powders):
    charges = tuple(
        PowderChargeEntry.model_validate(
            {"name": f"{number}", "bay": where, "event": "apogee", **({"powder": powder} if powder else {})}
        )
        for number, (where, powder) in enumerate(powders)
    )
    return SimpleNamespace(recovery=SimpleNamespace(bay=(bay(),), charge=charges, canopy=(), cord=()))


def test_the_hardest_charge_of_a_joint_parts_it_and_without_one_it_is_assumed():
    apart = states().apart["joint"]

    def speed(*powders):
        return lines._fastest_parting(recovery(*powders), "joint", apart, states())

    one, two = speed(("bay", "1 g")), speed(("bay", "1 g"), ("bay", "2 g"))
    assert two.high > one.high
    assert two.value == pytest.approx(speed(("bay", "2 g")).value)
    for usual in (speed(), speed(("other", "2 g")), speed(("bay", None))):
        assert (usual.low, usual.value, usual.high, usual.known_by) == (6.0, 12.0, 18.0, KnownBy.ASSUMED)


# ---------------------------------------------------------------- remedies and doubts


def test_each_remedy_changes_one_thing_by_what_it_says():
    other = {kind: (size, changed) for kind, size, changed in zipper.other_rigs(rig())}
    size, softer = other[RemedyKind.SOFTER_CORD]
    assert size == pytest.approx(2 * KNOWN.stretch_at_break.value)
    assert softer.line.stretch_at_break.value == pytest.approx(size)
    assert other[RemedyKind.LESS_CHARGE][1].parting_m_s == pytest.approx(0.7 * 8.0)
    assert other[RemedyKind.LONGER_CORD][1].cord_length_m == pytest.approx(12.0)
    assert other[RemedyKind.DROGUE][1].canopy_area_m2 == pytest.approx(0.04 * rig().canopy_area_m2)
    assert other[RemedyKind.SLIDER][1].filling_m == pytest.approx(2.0 * rig().filling_m)
    assert len(zipper.other_rigs(rig(canopy=None))) == 3
    stiff = rig(cord=cord(breaking_load="9 kN", stretch_at_break="4 %"))
    (aramid,) = (changed for kind, _, changed in zipper.other_rigs(stiff) if kind is RemedyKind.SOFTER_CORD)
    assert aramid.line.stretch_at_break.value == 0.25  # nylon in its place


def test_what_is_not_known_on_time_is_tried_at_both_ends():
    found = {
        doubt: (changed, begin)
        for doubt, changed, begin in zipper._spread(rig(), start(), about(8.0, 0.1, 12.0))
    }
    assert found[StartDoubt.SLOW][0].parting_m_s == 0.5  # it never stays shut
    assert found[StartDoubt.FAST][0].parting_m_s == 12.0
    assert found[StartDoubt.NOSE_UP][1].angle_rad == pytest.approx(math.radians(15.0))
    assert found[StartDoubt.NOSE_DOWN][1].angle_rad == pytest.approx(-math.radians(15.0))


def test_what_hangs_on_a_cord_and_how_long_it_is():
    assert zipper._hanging_kg(rig()) == 8.0
    assert zipper._length_m(rig()) == pytest.approx(1.0)
    load = zipper._closed_form(rig(), states().apart["joint"], exact(8.0))
    # v sqrt(mu k), 1.5 kg reduced, k of break load over stretch over 6 m.
    k = KNOWN.breaking_load_n.value / KNOWN.stretch_at_break.value / 6.0
    assert load.value == pytest.approx(8.0 * math.sqrt(1.5 * k), rel=1e-3)


def test_the_meeting_on_time_goes_before_the_fastest_of_the_others(monkeypatch):
    meetings = {
        0: None,
        1: SimpleNamespace(closing_m_s=2.0),
        2: SimpleNamespace(closing_m_s=5.0),
        3: SimpleNamespace(closing_m_s=9.0),
    }
    monkeypatch.setattr(zipper, "meeting_of", lambda followed, index: meetings[index])
    assert zipper._meeting(None, 3, 1).closing_m_s == 2.0
    assert zipper._meeting(None, 3, 0).closing_m_s == 5.0
    assert zipper._meeting(None, 1, 0) is None


def test_remedies_come_best_first_and_count_only_their_own_cases(monkeypatch):
    margins = {0: -0.2, 1: 0.1, 2: 0.4, 3: 0.9, 4: -0.5}
    monkeypatch.setattr(
        zipper,
        "margin_of",
        lambda history, index, lip, end: (
            None if lip is None else margins[index] + (1.0 if lip == "ringed" else 0.0)
        ),
    )
    monkeypatch.setattr(zipper, "behind_ring", lambda lip, ring: "ringed")
    monkeypatch.setattr(
        zipper, "replace", lambda lip, cord_width_m: SimpleNamespace(cord_width_m=cord_width_m)
    )
    history = SimpleNamespace(tensions_n=np.arange(5 * 2 * 3, dtype=float).reshape(5, 2, 3))
    cases = tuple(
        SimpleNamespace(wind=wind, offset_s=offset)
        for wind, offset in (("windy", 2.0), ("windy", 0.0), ("day", 0.0), ("windy", 0.5))
    )
    trials = zipper._Trials(SimpleNamespace(history=history), 3, [(RemedyKind.LONGER_CORD, 12.0, None)], 2)
    found = zipper._remedies(SimpleNamespace(cord_width_m=0.02), cases, trials)
    by_kind = {one.kind: one for one in found}
    # As built: only the windy cases at whole seconds; on time: within a second of it.
    assert by_kind[RemedyKind.AS_BUILT].margin == pytest.approx(-0.2)
    assert by_kind[RemedyKind.ON_TIME].margin == pytest.approx(0.1)
    assert by_kind[RemedyKind.LONGER_CORD].margin == pytest.approx(-0.5)
    assert by_kind[RemedyKind.RING].margin == pytest.approx(0.8)
    assert by_kind[RemedyKind.WIDE_WEBBING].size == pytest.approx(0.04)
    # The cord's two lines alone: of cases 0 and 1 the largest is 10.
    assert by_kind[RemedyKind.AS_BUILT].peak_n == 10.0
    assert [one.margin for one in found] == sorted((one.margin for one in found), reverse=True)
    bare = zipper._remedies(None, cases, trials)
    assert {one.margin for one in bare} == {None}
    assert [one.peak_n for one in bare] == sorted(one.peak_n for one in bare)


@pytest.mark.parametrize(
    ("angle_deg", "bend", "edge"),
    [
        (0.0, 0, LipEdge.NONE),
        (0.0, 1, LipEdge.UPPER),
        (0.0, -1, LipEdge.LOWER),
        (170.0, 1, LipEdge.LOWER),
        (170.0, -1, LipEdge.UPPER),
        (90.0, 1, LipEdge.LEEWARD),
        (90.0, -1, LipEdge.WINDWARD),
        (-90.0, 1, LipEdge.WINDWARD),
        (-90.0, -1, LipEdge.LEEWARD),
        (44.0, 1, LipEdge.UPPER),
        (46.0, 1, LipEdge.LEEWARD),
        (134.0, 1, LipEdge.LEEWARD),
        (136.0, 1, LipEdge.LOWER),
    ],
)
def test_the_cord_cuts_the_upper_or_lower_edge_of_a_level_tube_and_the_lee_of_an_upright_one(
    angle_deg, bend, edge
):
    assert pulls._edge(bend, start(angle_rad=math.radians(angle_deg))) is edge


def test_a_level_start_keeps_nothing_but_the_speed_across():
    found = pulls.level_start(start(offset_s=2.0, angle_rad=1.0, rate_rad_s=3.0), 25.0)
    assert (found.offset_s, found.along_m_s, found.up_m_s, found.angle_rad, found.rate_rad_s) == (
        0.0,
        25.0,
        0.0,
        0.0,
        0.0,
    )
    assert found.height_m == 100.0


@pytest.mark.parametrize("aft", [True, False])
def test_a_case_is_summed_up_side_by_side(monkeypatch, aft):
    monkeypatch.setattr(
        pulls,
        "hardest_on_lip",
        lambda history, index, lip: SimpleNamespace(bend_rad=1.2, tension_n=300.0, side=1),
    )
    monkeypatch.setattr(pulls, "pull_on_end", lambda history, index, line, scene: f"line {line}")
    monkeypatch.setattr(
        pulls, "least_margin", lambda history, index, lip, end: {"low": -0.1, "value": 0.2}[end]
    )
    followed = SimpleNamespace(
        starts=(start(along_m_s=3.0, up_m_s=-4.0),), scenes=(None,), rigs=(SimpleNamespace(bay_is_aft=aft),),
        history=SimpleNamespace(tensions_n=np.array([[[1.0, 7.0, 9.0], [5.0, 2.0, 3.0]]])),
    )  # fmt: skip
    found = pulls.pulled_case(followed, 0, "lip")
    assert (found.peak_n, found.snatch_n, found.speed_m_s, found.across_m_s) == (7.0, 9.0, 5.0, 3.0)
    assert (found.margin_low, found.margin, found.lip_edge) == (-0.1, 0.2, LipEdge.UPPER)
    assert (found.on_aft, found.on_fore) == (("line 0", "line 1") if aft else ("line 1", "line 0"))
    followed.history.tensions_n = followed.history.tensions_n[:, :, :2]
    bare = pulls.pulled_case(followed, 0, None)
    assert (bare.snatch_n, bare.margin_low, bare.margin) == (0.0, None, None)


# ---------------------------------------------------------------- landings


def test_what_lands_is_the_whole_and_its_heaviest_piece_with_the_wind_and_without():
    rows = quick._landings(exact(8.0), exact(5.0), states())
    assert [(row.piece, row.mass_kg) for row in rows] == [
        (LandingPiece.WHOLE, 8.0),
        (LandingPiece.HEAVIEST, 6.0),
    ]
    assert rows[0].fall.value == pytest.approx(100.0)
    # 5 m/s down and 4 across: 41 m2/s2.
    assert rows[1].with_wind.value == pytest.approx(0.5 * 6.0 * 41.0)
    assert len(quick._landings(exact(8.0), exact(5.0), states(pieces_kg=(exact(8.0),)))) == 1
    assert quick._landings(exact(8.0), None, states()) == ()


def test_it_comes_down_without_its_propellant():
    mass = SimpleNamespace(
        lift_off=SimpleNamespace(mass_kg=9.0),
        burnout=SimpleNamespace(mass_kg=8.2),
        lift_off_mass=about(9.0, 8.9, 9.2),
    )
    found = quick._descending_mass(mass)
    assert (found.low, found.value, found.high) == pytest.approx((8.1, 8.2, 8.4))


@pytest.mark.parametrize(
    ("height", "early"),
    [("340 m", False), ("345 m +- 5 m", True), ("344 m +- 5 m", False), ("350 m", True), ("900 m", True)],
)
def test_a_height_that_the_lowest_flight_may_not_reach_is_told(height, early):
    high = canopy(event={"falling_through": height})
    sheet = SimpleNamespace(recovery=SimpleNamespace(canopy=(canopy(), high)))
    found = list(quick._early(sheet, states()))
    assert bool(found) is early
    for one in found:
        assert one.height_m == high.event.falling_through.value


def test_pieces_without_a_canopy_fall_at_the_speed_at_which_drag_is_weight():
    assert quick._tumbling_speed(exact(8.0), states()) is None
    found = quick._tumbling_speed(exact(8.0), states(parted_area_m2=exact(0.5)))
    assert found.value == pytest.approx(math.sqrt(2 * 8.0 * 9.80665 / (1.2 * 0.5)))
