"""What comes near what, and through which opening things go; on paper."""

import math
import random
from types import SimpleNamespace

import pytest
from made_by_hand import BAY, QUARTER, about, quantity

from finial.assemble.inside import meetings, ways
from finial.assemble.inside.placed import Placed
from finial.assemble.inside.results import WayOccasion
from finial.core.estimates import KnownBy, exact
from finial.inside.clearance import Gap, gap_between
from finial.inside.order import SNUG_M
from finial.inside.things import Kind, Thing
from finial.inside.walls import Overlap


def thing(name="one", kind=Kind.OTHER, middle=0.5, **given):
    return Thing(
        **{"name": name, "kind": kind, "middle_m": middle, "length_m": 0.1, "across_m": 0.04, **given}
    )


def test_two_things_are_as_near_as_their_sizes_and_their_unknown_densities_allow(monkeypatch):
    gaps = {("a", "b"): 0.004, ("a2", "b"): 0.001, ("a", "b2"): 0.006, ("a2", "b2"): 0.002}
    monkeypatch.setattr(
        meetings,
        "gap_between",
        lambda one, two: Gap(first=one.name, second=two.name, gap_m=gaps[one.name, two.name], station_m=0.4),
    )
    first = Placed(thing=thing("a", slack_m=(0.0005, 0.009), known_by=KnownBy.ASSUMED), others=(thing("a2"),))
    second = Placed(thing=thing("b", slack_m=(0.0002, 0.009), pressed_in_m=0.0003))
    met = meetings._pair(first, second)
    assert (met.gap.low, met.gap.value, met.gap.high) == pytest.approx((0.0003, 0.004, 0.0047))
    assert (met.gap.known_by, met.station_m, met.with_part) == (KnownBy.ASSUMED, 0.4, False)
    assert met.allowed_m == pytest.approx(SNUG_M + 0.0003)
    plain = meetings._pair(Placed(thing=first.thing), second)
    assert (plain.gap.low, plain.gap.high) == pytest.approx((0.0033, 0.0047))


def test_things_that_come_near_meet_once_each_and_one_that_moves_meets_anew():
    row = [Placed(thing=thing(name, middle=at)) for name, at in (("a", 0.1), ("b", 0.205), ("c", 0.9))]
    (near,) = meetings._with_things(row)
    assert (near.first, near.second, near.gap.value) == ("a", "b", pytest.approx(0.005))
    moved = [row[0], Placed(thing=thing("b", middle=0.202)), row[2]]
    (nearer,) = meetings._with_things(moved)
    assert nearer.gap.value == pytest.approx(0.002)
    assert list(meetings._with_things([row[0], row[0]])) == []


def test_pairs_far_apart_are_left_out_and_none_near():
    rng = random.Random(3)
    row = [
        thing(
            f"t{k}",
            middle=rng.uniform(0.0, 2.0),
            tilt_rad=rng.choice([0.0, 0.0, 0.4]),
            offset_m=(rng.uniform(-0.05, 0.05), 0.0),
        )
        for k in range(20)
    ]
    met = {(one.first, one.second): one for one in meetings._with_things([Placed(thing=one) for one in row])}
    near = {
        (one.name, other.name)
        for number, one in enumerate(row)
        for other in row[number + 1 :]
        if gap_between(one, other).gap_m < meetings.NEAR_M
    }
    assert near
    assert near <= met.keys()
    assert len(met) < len(row) * (len(row) - 1) / 4


def test_what_may_be_as_long_as_its_density_allows_reaches_as_far_as_its_longest():
    loose = Placed(thing=thing("a", middle=0.1), others=(thing("a", middle=0.1, length_m=0.205),))
    (met,) = meetings._with_things([loose, Placed(thing=thing("b", middle=0.26))])
    assert (met.gap.low, met.gap.value) == pytest.approx((0.0075, 0.06))


def test_slack_counts_along_or_across_as_the_way_out_runs():
    one = thing(slack_m=(0.001, 0.005))
    assert meetings._slack(one, Gap(first="", second="", gap_m=0.0, station_m=0.0)) == 0.001
    assert meetings._slack(one, Gap(first="", second="", gap_m=0.0, station_m=0.0, along=True)) == 0.005


def test_a_thing_and_a_part_meet_within_a_centimetre_and_what_goes_through_the_skin_does_not(monkeypatch):
    room = {"near": 0.0101, "far": 0.0121, "deep": -0.002}
    monkeypatch.setattr(
        meetings,
        "_wall",
        lambda one, cavity: SimpleNamespace(gap_m=room[one.name], wall="tower", station_m=0.3, outside=False),
    )
    monkeypatch.setattr(meetings, "_room", lambda one, cavity: room[one.name])
    placed = [
        Placed(thing=thing("near", slack_m=(0.0005, 0.001))),
        Placed(thing=thing("far", slack_m=(0.002, 0.001))),
        Placed(thing=thing("deep", kind=Kind.SCREW)),
        Placed(thing=thing("deep", kind=Kind.TAB)),
        Placed(thing=thing("deep", pressed_in_m=0.001)),
        Placed(thing=thing("far"), others=(thing("deep"),)),
    ]
    found = list(meetings._with_parts(placed, None))
    assert [one.first for one in found] == ["near", "deep", "far"]
    assert found[0].gap.low == pytest.approx(0.0096)
    assert found[1].allowed_m == pytest.approx(SNUG_M + 0.001)
    assert (found[2].gap.low, found[2].gap.value, found[2].gap.high) == pytest.approx(
        (-0.002, 0.0121, 0.0121)
    )
    assert all(one.with_part and one.second == "tower" for one in found)


def test_only_the_worst_of_a_pair_is_told_and_packs_are_their_bay(monkeypatch):
    def met(first, low, allowed=0.0, outside=False):
        return meetings.Meeting(
            first=first,
            second="x",
            gap=about(low, low, low),
            station_m=0.0,
            with_part=True,
            outside=outside,
            allowed_m=allowed,
        )

    asked = []
    monkeypatch.setattr(meetings, "_with_things", lambda placed: asked.extend(placed) or ())
    monkeypatch.setattr(meetings, "_overlaps", lambda cavity: ())
    parts = [
        met("a", 0.002),
        met("a", -0.001, 0.004),
        met("b", 0.0099),
        met("c", 0.01),
        met("a", 0.001, outside=True),
    ]
    monkeypatch.setattr(meetings, "_with_parts", lambda placed, cavity: parts)
    placed = [Placed(thing=thing("pack", lies_in="bay")), Placed(thing=thing("sled"))]
    found = meetings.meetings_of(placed, None)
    assert [(one.first, one.gap.value, one.outside) for one in found] == [
        ("a", 0.001, True),
        ("a", 0.002, False),
        ("b", 0.0099, False),
    ]
    assert [one.thing.name for one in asked] == ["sled"]


def test_printed_parts_that_take_one_room_are_told_by_their_depth(monkeypatch):
    one = Overlap(first="a", second="b", depth_m=0.003, station_m=0.4)
    monkeypatch.setattr(meetings, "overlaps", lambda cavity: (one,))
    monkeypatch.setattr(meetings, "strays", lambda cavity: (one,))
    inside, outside = meetings._overlaps(object())
    assert (inside.gap.value, inside.outside, outside.outside) == (-0.003, False, True)
    assert (inside.with_part, inside.allowed_m, inside.station_m) == (True, SNUG_M, 0.4)


@pytest.fixture
def passages(monkeypatch):
    """Room on the way by the opening's station; what is asked is noted."""
    noted = []

    def passage(one, cavity, opening_m, fixed, parts=None):
        noted.append((one.name, opening_m, tuple(other.name for other in fixed), parts))
        return SimpleNamespace(
            gap_m={1.5: 0.001, 0.4: 0.003, 0.9: 0.002}.get(opening_m, math.inf), blocker="ring", station_m=1.0
        )

    monkeypatch.setattr(ways, "_passage", passage)
    return noted


def cavity():
    parts = [
        SimpleNamespace(name=name, span_m=span)
        for name, span in (("nose", (0.0, 0.4)), ("tower", (0.4, 0.9)), ("tail", (0.9, 1.5)))
    ]
    return SimpleNamespace(length_m=1.5, parts=parts)


def sheet(**recovery):
    entries = [
        SimpleNamespace(outside=True, glued=False),
        SimpleNamespace(outside=True, glued=False),
        SimpleNamespace(outside=True, glued=False),
    ]
    joint = SimpleNamespace(name="joint", station=quantity(0.4))
    usual = {"joint": (joint,), "bay": (), "canopy": (), "cord": ()}
    return SimpleNamespace(part=entries, recovery=SimpleNamespace(**{**usual, **recovery}), item=())


def test_a_motor_goes_in_where_there_is_most_room_past_all_that_stays(passages):
    things = [
        thing("motor", Kind.MOTOR, slack_m=(0.0002, 0.0)),
        thing("pack", Kind.PACK),
        thing("sled", Kind.SLED),
        thing("ring", Kind.BULKHEAD),
    ]
    (way,) = ways._loading(things, sheet(), cavity())
    assert (way.opening, way.opening_m, way.occasion) == ("joint", 0.4, WayOccasion.LOADING)
    assert (way.gap.low, way.gap.value, way.gap.high) == pytest.approx((0.0028, 0.003, 0.0032))
    assert [asked[1:3] for asked in passages] == [(1.5, ("ring",)), (0.4, ("ring",))]


def test_a_sled_comes_out_at_joints_base_and_clamped_seams_and_plates_come_with_it(passages):
    things = [
        thing("sled", Kind.SLED),
        thing("ring", Kind.BULKHEAD),
        thing("rod", Kind.ROD),
        thing("lead", Kind.BALLAST),
    ]
    own = sheet()
    own.part[0].glued = True
    (way,) = ways._reaching(things, own, cavity())
    assert way.occasion is WayOccasion.REACHING
    # The joint, the base, and the seam behind the tower, which is only clamped; not the base's own part.
    assert [asked[1] for asked in passages] == [0.4, 1.5, 0.9]
    assert passages[0][2] == ("rod", "lead")
    own.part[1].outside = False
    passages.clear()
    list(ways._reaching(things, own, cavity()))
    assert [asked[1] for asked in passages] == [0.4, 1.5]


def test_a_pack_leaves_through_its_joint_past_what_stays_on_its_side(passages, monkeypatch):
    monkeypatch.setattr(ways, "_side_of", lambda one, cavity: one.middle_m)
    monkeypatch.setattr(ways, "_needed", lambda bay, sheet: 0.07)
    upright = BAY.model_copy(update={"tilt": quantity(0.0)})
    entry = upright.model_copy(update={"stations": (quantity(0.45), quantity(0.75))})
    things = [
        thing("main", Kind.PACK, 0.6, lies_in="bay"),
        thing("ring", Kind.BULKHEAD, 0.5),
        thing("nose weight", Kind.BALLAST, 0.1),
        thing("screw", Kind.SCREW, 0.5),
        thing("room", Kind.BAY, 0.6),
    ]
    own = sheet(bay=(entry,))
    (way,) = ways._leaving(entry, things, own, cavity())
    assert passages == [("bay", 0.4, ("ring",), (1, 2))]
    assert (way.thing, way.opening, way.needed_m, way.width_m) == ("main", "joint", 0.07, pytest.approx(0.08))
    ahead = upright.model_copy(update={"stations": (quantity(0.05), quantity(0.35))})
    passages.clear()
    list(ways._leaving(ahead, things, own, cavity()))
    assert passages == [("bay", 0.4, ("nose weight",), (0,))]
    assert list(ways._leaving(entry, things[1:], own, cavity())) == []


@pytest.mark.parametrize(("gap", "width"), [(-0.01, 0.06), (0.02, 0.08), (-0.05, 0.0)])
def test_a_way_that_sticks_is_narrower_by_twice_that(monkeypatch, gap, width):
    monkeypatch.setattr(
        ways, "_passage", lambda *given: SimpleNamespace(gap_m=gap, blocker="ring", station_m=1.0)
    )
    monkeypatch.setattr(ways, "_needed", lambda bay, sheet: 0.07)
    own = sheet(bay=(BAY,))
    (way,) = ways._leaving(BAY, [thing("main", Kind.PACK, lies_in="bay")], own, cavity())
    assert way.width_m == pytest.approx(width)


def packed(*across_mm):
    """A sheet whose canopies lie in the bay, packed as wide as measured, or not measured."""
    sizes = [None if one is None else SimpleNamespace(value=one / 1e3) for one in across_mm]
    canopies = [SimpleNamespace(bay=BAY.name, packed_across=one) for one in sizes]
    other = SimpleNamespace(bay="another bay", packed_across=SimpleNamespace(value=0.2))
    return SimpleNamespace(recovery=SimpleNamespace(canopy=(*canopies, other)))


def test_a_pack_needs_the_width_it_is_rolled_to_over_the_length_of_its_bay(monkeypatch):
    unmeasured = packed(None)
    monkeypatch.setattr(ways, "bay_contents", lambda sheet, bay: exact(0.31))
    by_hand = math.sqrt(0.31 / 352.0 / 0.3 / QUARTER)  # 352 kg/m3, Knacke
    assert ways._needed(BAY, unmeasured) == pytest.approx(by_hand, rel=1e-3)
    monkeypatch.setattr(ways, "bay_contents", lambda sheet, bay: exact(0.0))
    assert ways._needed(BAY, unmeasured) == 0.0
    monkeypatch.setattr(ways, "bay_contents", lambda sheet, bay: exact(9.0))
    assert ways._needed(BAY, unmeasured) == 0.08


@pytest.mark.parametrize(
    ("across_mm", "needed_m"), [((85, None, 60), 0.085), ((20,), 0.0612), ((None,), 0.0612)]
)
def test_a_pack_that_was_measured_needs_at_least_its_own_width(monkeypatch, across_mm, needed_m):
    """Cloth of 310 g at 352 kg/m3 over 300 mm is 61 mm across."""
    monkeypatch.setattr(ways, "bay_contents", lambda sheet, bay: exact(0.31))
    assert ways._needed(BAY, packed(*across_mm)) == pytest.approx(needed_m, rel=2e-3)


def test_what_is_printed_in_lies_in_a_bay_or_is_a_bay_needs_no_way_in(monkeypatch):
    monkeypatch.setattr(ways, "_ways_in", lambda one, cavity: (one.name,))
    things = [thing("sled"), thing("printed in"), thing("pack", lies_in="bay"), thing("room", Kind.BAY)]
    own = SimpleNamespace(
        item=(
            SimpleNamespace(name="printed in", put_in="while printing"),
            SimpleNamespace(name="sled", put_in="before joining"),
        )
    )
    assert ways.building_ways([Placed(thing=one) for one in things], own, None) == ("sled",)


def test_things_meet_as_far_off_as_their_slack_may_bring_them_together():
    loose = Placed(thing=thing("a", middle=0.1, slack_m=(0.0, 0.03)))
    (met,) = meetings._with_things([loose, Placed(thing=thing("b", middle=0.235))])
    assert (met.gap.value, met.gap.low) == pytest.approx((0.035, 0.005))
