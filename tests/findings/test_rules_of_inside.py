"""It fits: each rule of the inside from both sides of its limit, and what is missing is never go.

Limits marked as common practice in the rules have no source; the numbers here are typed again by hand.
"""

import math
from dataclasses import replace

import pytest
from unsaid import nothing_inside

from finial.assemble.inside.results import (
    BayRoom,
    GuideCheck,
    JointCheck,
    Loose,
    Meeting,
    RootCheck,
    Size,
    Taken,
    WallCheck,
    WayOccasion,
    WayOut,
)
from finial.assemble.strength.buttons import ButtonHold
from finial.core.estimates import Estimate, KnownBy, exact
from finial.findings.finding import Finding, Verdict
from finial.findings.limits import Limits
from finial.findings.rules.inside_rules import inside_findings
from finial.inside.order import Way, WayIn
from finial.inside.rail import ButtonFoot, RailLine
from finial.inside.things import Kind, Thing
from finial.report.finding_words import limit, title, what_to_change, why

GO, CAUTION, NOT_KNOWN, NO_GO = Verdict.GO, Verdict.CAUTION, Verdict.NOT_KNOWN, Verdict.NO_GO
WIDTH_M = 0.2
GUIDE = GuideCheck(
    rail=RailLine(roll_rad=0.0, face_m=0.1, width_m=0.04),
    body=exact(0.004),
    body_station_m=0.3,
    fins=exact(0.05),
    fins_name="fins",
    roots=exact(0.04),
    roots_name="fins",
    roots_station_m=1.1,
    spacing_m=0.5,
    fore_m=0.6,
    aft_m=1.1,
    balance=Estimate(value=0.65, low=0.64, high=0.66, known_by=KnownBy.WEIGHED),
    in_the_air_m=(),
    across_m=0.014,
    foot=ButtonFoot(station_m=0.6, rise_m=0.0, drop_m=0.0),
    reach=exact(0.005),
)
EMPTY = replace(nothing_inside(), width_m=WIDTH_M, guide=GUIDE, spread_share=0.01)
HOLD = ButtonHold(station_m=1.1, load=exact(100.0), holds=exact(400.0))


def every(buttons: ButtonHold | None = HOLD, **changed) -> list[Finding]:
    return inside_findings(replace(EMPTY, **changed), buttons, Limits(own={}))


def only(key: str, buttons: ButtonHold | None = HOLD, **changed) -> Finding:
    (found,) = (one for one in every(buttons, **changed) if one.key == key)
    assert title(found)
    assert why(found)
    assert limit(found)
    assert found.verdict is GO or what_to_change(found)
    return found


def foot(rise_mm: float = 0.0, drop_mm: float = 0.0) -> ButtonFoot:
    return ButtonFoot(station_m=0.6, rise_m=rise_mm / 1e3, drop_m=drop_mm / 1e3)


def keys(**changed) -> set[str]:
    return {one.key for one in every(**changed)}


def rail(**changed) -> dict[str, GuideCheck]:
    return {"guide": replace(GUIDE, **changed)}


# ---------------------------------------------------------------- what meets


def meeting(gap_mm: float, known_by: KnownBy = KnownBy.MEASURED, spread_mm: float = 0.0, **more) -> Meeting:
    gap = Estimate(
        value=gap_mm / 1e3, low=(gap_mm - spread_mm) / 1e3, high=(gap_mm + spread_mm) / 1e3, known_by=known_by
    )
    given = {"first": "sled", "second": "bay", "station_m": 0.48, "with_part": False, "allowed_m": 0.15e-3}
    return Meeting(gap=gap, **(given | more))


@pytest.mark.parametrize(
    ("more", "key"),
    [
        ({}, "same-room"),
        ({"with_part": True, "second": "tower"}, "into-print"),
        ({"with_part": True, "second": "tower", "outside": True}, "out-of-skin"),
    ],
)
def test_what_meets_is_told_by_both_names_the_station_and_the_millimetres(more, key):
    found = only(key, meetings=(meeting(-3.0, **more),))
    assert found.verdict is NO_GO
    assert found.safety
    assert (found.subject.name, found.facts["other"]) == ("sled", more.get("second", "bay"))
    assert (found.facts["at"].value, found.facts["deep"].value) == (0.48, pytest.approx(3e-3))
    words = title(found) + why(found) + what_to_change(found)
    for told in ("sled", more.get("second", "bay"), "480 mm", "3 mm"):
        assert told in words
    # Where several meet, the others stand below by their titles alone.
    for told in ("sled", more.get("second", "bay"), "480 mm"):
        assert told in title(found)
    assert "all-clear" not in keys(meetings=(meeting(-3.0, **more),))


@pytest.mark.parametrize(
    ("gap_mm", "allowed_mm", "hits"),
    [
        (-0.14, 0.15, False),
        (-0.16, 0.15, True),
        (-0.24, 0.25, False),
        (-0.26, 0.25, True),
        (0.0, 0.15, False),
    ],
)
def test_print_gives_way_by_a_little_and_what_is_pressed_in_by_that_more(gap_mm, allowed_mm, hits):
    told = keys(meetings=(meeting(gap_mm, allowed_m=allowed_mm / 1e3),))
    assert ("same-room" in told) is hits
    assert ("all-clear" in told) is not hits


def test_a_hit_that_hangs_on_an_assumed_size_is_not_known_and_asks_for_it():
    found = only("same-room", meetings=(meeting(1.0, KnownBy.ASSUMED, spread_mm=4.0),))
    assert found.verdict is NOT_KNOWN
    assert [fix.key for fix in found.fixes] == ["give-size"]
    assert only("same-room", meetings=(meeting(1.0, KnownBy.WEIGHED, spread_mm=4.0),)).verdict is NO_GO


def test_clear_names_the_nearest_neighbours_gap():
    near, far = meeting(0.4), meeting(6.0, second="tube")
    found = only("all-clear", meetings=(far, near))
    assert found.verdict is GO
    assert found.value.value == pytest.approx(0.4e-3)


def test_cuts_that_do_not_close_are_not_known():
    found = only("all-clear", doubts=("tower",))
    assert found.verdict is NOT_KNOWN
    assert "tower" in what_to_change(found)


# ---------------------------------------------------------------- in and out


@pytest.mark.parametrize("way", [Way.FORE, Way.AFT, Way.SIDE])
def test_an_open_way_lets_it_in(way):
    assert only("all-get-in", ways_in=(WayIn(thing="sled", part="tower", way=way),)).verdict is GO


def test_a_thing_that_is_shut_out_is_no_go_unless_it_collides_there_already():
    shut = WayIn(thing="sled", part="tower", way=Way.SHUT, short_m=0.004, station_m=0.3)
    found = only("gets-in", ways_in=(shut,))
    assert found.verdict is NO_GO
    assert found.facts["short"].value == 0.004
    assert found.value == exact(-0.004)
    assert "all-get-in" not in keys(ways_in=(shut,))
    told = keys(ways_in=(shut,), meetings=(meeting(-3.0, with_part=True, second="tower"),))
    assert "gets-in" not in told


def way_out(occasion: WayOccasion, gap_mm: float | None, **more) -> WayOut:
    gap = None if gap_mm is None else exact(gap_mm / 1e3)
    given = {"thing": "one", "opening": "joint", "opening_m": 0.3, "blocker": "plate", "station_m": 0.35}
    return WayOut(occasion=occasion, gap=gap, **(given | more))


@pytest.mark.parametrize(
    ("occasion", "key", "gap_mm", "verdict"),
    [
        (WayOccasion.LOADING, "motor-goes-in", -0.14, GO),
        (WayOccasion.LOADING, "motor-goes-in", -0.16, NO_GO),
        (WayOccasion.LOADING, "motor-goes-in", None, NOT_KNOWN),
        (WayOccasion.REACHING, "sled-reached", -0.14, GO),
        (WayOccasion.REACHING, "sled-reached", -0.16, NOT_KNOWN),
    ],
)
def test_motors_go_in_and_sleds_come_out_past_what_stays(occasion, key, gap_mm, verdict):
    assert only(key, ways_out=(way_out(occasion, gap_mm),)).verdict is verdict


@pytest.mark.parametrize(("width_mm", "verdict"), [(79.8, GO), (79.6, NO_GO)])
def test_a_pack_needs_its_own_width_less_what_print_gives_on_both_sides(width_mm, verdict):
    out = way_out(WayOccasion.LEAVING, 0.0, needed_m=0.080, width_m=width_mm / 1e3)
    assert only("canopy-way-out", ways_out=(out,)).verdict is verdict


def test_what_collides_is_not_told_again_as_being_in_the_way():
    pack = Thing(name="one", kind=Kind.PACK, middle_m=0.4, length_m=0.1, across_m=0.05, lies_in="bay")
    out = way_out(WayOccasion.LEAVING, -5.0, needed_m=0.08, width_m=0.07)
    told = keys(ways_out=(out,), things=(pack,), meetings=(meeting(-3.0, first="bay", second="plate"),))
    assert "canopy-way-out" not in told
    assert "canopy-way-out" in keys(ways_out=(out,), things=(pack,))
    other = replace(pack, name="two", lies_in="rack")
    elsewhere = (meeting(-3.0, first="rack", second="plate"),)
    assert "canopy-way-out" in keys(ways_out=(out,), things=(other, pack), meetings=elsewhere)


@pytest.mark.parametrize(
    ("gap_mm", "verdict"), [(None, CAUTION), (2.6, CAUTION), (2.4, None), (0.0, None), (-3.0, None)]
)
def test_what_touches_nothing_and_of_which_nobody_says_what_holds_it_is_a_caution(gap_mm, verdict):
    """2.5 mm of sleeve, tape or glue: common practice."""
    gap = None if gap_mm is None else exact(gap_mm / 1e3)
    loose = (Loose(thing="sled", station_m=0.4, gap=gap, beside="tower" if gap else ""),)
    if verdict is None:
        assert only("all-held", loose=loose).verdict is GO
        assert "held" not in keys(loose=loose)
    else:
        found = only("held", loose=loose)
        assert (found.verdict, found.subject.name) == (verdict, "sled")
        assert "all-held" not in keys(loose=loose)


@pytest.mark.parametrize(
    ("gap_mm", "verdict"), [(0.9, None), (1.1, NOT_KNOWN), (2.4, NOT_KNOWN), (None, NOT_KNOWN)]
)
def test_glue_holds_over_a_millimetre_and_no_more(gap_mm, verdict):
    """Makers name bond lines of some tenths of a millimetre; a thickened epoxy fills one: common practice."""
    gap = None if gap_mm is None else exact(gap_mm / 1e3)
    loose = (Loose(thing="floor", station_m=0.4, gap=gap, beside="", out_of_reach=True, glued=True),)
    if verdict is None:
        assert "held" not in keys(loose=loose)
    else:
        found = only("held", loose=loose)
        assert found.verdict is verdict
        assert "in a line of 1 mm at most" in why(found)


def test_electronics_without_a_place_are_not_known():
    assert only("sled-placed", electronics_placed=False).verdict is NOT_KNOWN
    assert only("plate-placed", plate_placed=False).verdict is NOT_KNOWN
    assert "sled-placed" not in keys()


# ---------------------------------------------------------------- sizes and rooms


def test_a_size_from_an_assumed_density_is_a_caution_that_names_it():
    room = Estimate(value=1e-4, low=0.8e-4, high=1.2e-4, known_by=KnownBy.ASSUMED)
    found = only("sizes-given", taken=(Taken(thing="lead shot", size=Size.ROOM, value=room),))
    assert found.verdict is CAUTION
    assert "lead shot" in what_to_change(found)
    known = replace(room, known_by=KnownBy.HANDBOOK)
    assert only("sizes-given", taken=(Taken(thing="bar", size=Size.ROOM, value=known),)).verdict is GO
    usual = Taken(thing="rail", size=Size.RAIL, value=exact(0.1, known_by=KnownBy.ASSUMED))
    assert only("sizes-given", taken=(usual,)).verdict is GO


@pytest.mark.parametrize(("share", "verdict"), [(0.049, GO), (0.051, NOT_KNOWN)])
def test_a_twentieth_of_the_mass_may_be_small_pieces(share, verdict):
    assert only("loose-pieces", spread_share=share).verdict is verdict


def bay(said_l: float | None, free_l: float | None = 1.0, empty_l: float = 1.6, **more) -> BayRoom:
    def litres(value: float) -> Estimate:
        return exact(value / 1e3)

    return BayRoom(
        bay="bay",
        empty=litres(empty_l),
        free=None if free_l is None else litres(free_l),
        said=None if said_l is None else litres(said_l),
        mouth_m=0.08,
        **more,
    )


@pytest.mark.parametrize(
    ("said_l", "verdict"),
    [(None, GO), (0.81, GO), (0.79, NO_GO), (1.24, GO), (1.26, NO_GO), (4.0, NO_GO), (0.1, NO_GO)],
)
def test_what_the_sheet_says_of_a_bay_agrees_with_its_tube_less_its_contents(said_l, verdict):
    assert only("bay-room", bays=(bay(said_l),)).verdict is verdict


def test_no_bay_is_freer_than_it_is_empty():
    assert only("bay-room", bays=(bay(1.2, free_l=1.0, empty_l=1.1),)).verdict is NO_GO


def test_a_bay_that_does_not_hold_its_contents_is_no_go():
    found = only("bay-room", bays=(bay(1.0, free_l=None),))
    assert (found.verdict, [fix.key for fix in found.fixes]) == (NO_GO, ["larger"])


def test_a_canopy_beside_its_bay_is_no_go_by_as_much():
    found = only("canopy-in-bay", bays=(bay(1.0, beside=(("main", 0.03),)),))
    assert found.verdict is NO_GO
    assert "30 mm" in why(found)
    assert found.value.value == pytest.approx(-0.03)


# ---------------------------------------------------------------- walls, roots, joints


@pytest.mark.parametrize(("drawn_mm", "verdict"), [(1.51, GO), (1.49, NO_GO)])
def test_a_wall_is_drawn_as_thick_as_said_but_for_its_facets(drawn_mm, verdict):
    wall = WallCheck(part="tower", drawn=exact(drawn_mm / 1e3), said_m=1.6e-3, station_m=0.4)
    assert only("wall-as-drawn", walls=(wall,)).verdict is verdict


@pytest.mark.parametrize(("gap_mm", "verdict"), [(0.9, GO), (1.1, NO_GO), (-4.0, GO)])
def test_a_root_floats_off_no_further_than_its_fixing_reaches(gap_mm, verdict):
    root = RootCheck(fins="fins", gap=exact(gap_mm / 1e3), station_m=1.0, holds_m=1e-3)
    assert only("fin-root", roots=(root,)).verdict is verdict


def joint(off_mm: float = 0.0, glued: bool = False, ties: tuple[str, ...] = ()) -> JointCheck:
    return JointCheck(joint="joint", station_m=0.3, off=exact(off_mm / 1e3), glued=glued, ties=ties)


@pytest.mark.parametrize(("off_mm", "verdict"), [(4.9, GO), (5.1, NO_GO)])
def test_a_joint_lies_between_two_parts(off_mm, verdict):
    assert only("joint-between-parts", joints=(joint(off_mm),)).verdict is verdict


@pytest.mark.parametrize(
    ("tied", "verdict", "fixes"),
    [
        (joint(), GO, []),
        (joint(ties=("rods",)), NO_GO, ["shorten"]),
        (joint(glued=True), NO_GO, ["not-glued"]),
        (joint(glued=True, ties=("rods",)), NO_GO, ["shorten", "not-glued"]),
    ],
)
def test_neither_rods_nor_glue_tie_a_joint(tied, verdict, fixes):
    found = only("joint-free", joints=(tied,))
    assert (found.verdict, [fix.key for fix in found.fixes]) == (verdict, fixes)


# ---------------------------------------------------------------- rail and buttons


@pytest.mark.parametrize("short_mm", [0.1, 4.0])
def test_what_touches_the_rail_says_how_much_farther_out_it_must_stand(short_mm):
    (fix,) = only("rail-clear", **rail(body=exact(-short_mm / 1e3))).fixes
    assert fix.facts["short"].value == pytest.approx(short_mm / 1e3)


def test_without_buttons_in_the_sheet_the_rail_is_not_known():
    assert only("rail-clear", guide=None).verdict is NOT_KNOWN


@pytest.mark.parametrize(
    ("key", "changed", "verdict"),
    [
        ("rail-clear", {"body": exact(0.0)}, GO),
        ("rail-clear", {"body": exact(-1e-4)}, NO_GO),
        ("rail-fins", {"fins": exact(0.0)}, GO),
        ("rail-fins", {"fins": exact(-1e-4)}, NO_GO),
        ("rail-fins", {"fins": None}, GO),
        ("button-roots", {"roots": exact(0.0)}, GO),
        ("button-roots", {"roots": exact(-1e-4)}, NO_GO),
        ("button-roots", {"roots": None}, GO),
        ("button-on-skin", {"in_the_air_m": ()}, GO),
        ("button-on-skin", {"in_the_air_m": (0.7,)}, NO_GO),
        # Buttons of rails that are sold are 0.4 to 0.65 of the rail's width: common practice.
        ("button-in-rail", {"button_share": exact(0.26)}, GO),
        ("button-in-rail", {"button_share": exact(0.24)}, NOT_KNOWN),
        ("button-in-rail", {"button_share": exact(0.74)}, GO),
        ("button-in-rail", {"button_share": exact(0.76)}, NOT_KNOWN),
        ("button-in-rail", {"button_share": None}, GO),
        # A rail 40 mm wide has a slot of 12 mm at most; 2 mm hold on to it: common practice.
        ("button-reach", {"reach": exact(2.01e-3)}, GO),
        ("button-reach", {"reach": exact(1.99e-3)}, NO_GO),
        ("button-reach", {"reach": exact(11.9e-3)}, GO),
        ("button-reach", {"reach": exact(12.1e-3)}, NOT_KNOWN),
        ("button-reach", {"reach": None}, GO),
        # A button of 14 mm on a ledge, or past an edge: 2.8 mm a filed foot takes up, 4.2 mm nothing does.
        ("button-foot", {"foot": foot(rise_mm=2.7)}, GO),
        ("button-foot", {"foot": foot(rise_mm=2.9)}, CAUTION),
        ("button-foot", {"foot": foot(drop_mm=2.7)}, GO),
        ("button-foot", {"foot": foot(drop_mm=2.9)}, CAUTION),
        ("button-foot", {"foot": foot(rise_mm=4.1)}, CAUTION),
        ("button-foot", {"foot": foot(rise_mm=4.3)}, NO_GO),
        ("button-foot", {"foot": foot(drop_mm=7.1)}, CAUTION),
        ("button-foot", {"foot": None}, NOT_KNOWN),
        # Where the skin ends under the foot, part of it hangs over nothing.
        ("button-foot", {"foot": foot(drop_mm=math.inf)}, NO_GO),
        ("button-foot", {"foot": foot(rise_mm=math.inf, drop_mm=-math.inf)}, NO_GO),
        # A width, 200 mm, is less than a third of 1200 mm.
        ("button-spacing", {"spacing_m": 0.201}, GO),
        ("button-spacing", {"spacing_m": 0.199}, NO_GO),
        # The aft button lies behind the balance point, at most at 660 mm.
        ("buttons-and-balance", {"aft_m": 0.661}, GO),
        ("buttons-and-balance", {"aft_m": 0.659}, NO_GO),
        # The fore one not more than a quarter of the length, 300 mm, behind the balance point, 640 at least.
        ("buttons-and-balance", {"fore_m": 0.939}, GO),
        ("buttons-and-balance", {"fore_m": 0.941}, CAUTION),
        # Ahead of it as far as may be.
        ("buttons-and-balance", {"fore_m": 0.1}, GO),
    ],
)
def test_rail_and_buttons(key, changed, verdict):
    assert only(key, **rail(**changed)).verdict is verdict


@pytest.mark.parametrize(("spacing_m", "verdict"), [(0.134, GO), (0.133, NO_GO)])
def test_a_short_fat_vehicle_has_its_buttons_a_third_of_its_length_apart(spacing_m, verdict):
    cavity = replace(EMPTY.cavity, length_m=0.4)
    found = only("button-spacing", cavity=cavity, width_m=0.3, **rail(spacing_m=spacing_m))
    assert found.verdict is verdict


@pytest.mark.parametrize(("holds_n", "verdict"), [(151.0, GO), (149.0, NO_GO)])
def test_a_button_holds_one_and_a_half_times_its_pull(holds_n, verdict):
    found = only("button-pull-out", replace(HOLD, holds=exact(holds_n)))
    assert found.verdict is verdict
    assert "100 N" in why(found)


@pytest.mark.parametrize(("tested_n", "verdict"), [(1245.0, GO), (1255.0, NOT_KNOWN)])
def test_a_button_holds_no_more_by_test_than_its_thread_and_a_quarter(tested_n, verdict):
    tested = replace(HOLD, tested=exact(tested_n), by_thread_n=1000.0)
    assert only("button-test", tested).verdict is verdict


def test_a_test_of_buttons_whose_screw_nobody_knows_is_a_caution():
    assert only("button-test", replace(HOLD, tested=exact(400.0))).verdict is CAUTION
    assert only("button-test", HOLD).verdict is GO


@pytest.mark.parametrize("buttons", [None, replace(HOLD, holds=None)])
def test_a_button_of_which_nothing_is_said_is_not_known(buttons):
    found = only("button-pull-out", buttons)
    assert (found.verdict, found.bound.key) == (NOT_KNOWN, "screw")


def test_an_inside_of_which_nothing_is_said_is_never_all_go():
    found = inside_findings(replace(EMPTY, guide=None, electronics_placed=False), None, Limits(own={}))
    unknown = {one.key for one in found if one.verdict is NOT_KNOWN}
    assert unknown == {"rail-clear", "sled-placed", "button-pull-out"}
