"""Levers of a sheet: from what it says, to how far, in which steps, and what the sheet then says."""

import math
from dataclasses import replace

import pytest

from finial.assemble.vehicle import pulls
from finial.assemble.vehicle.changes import changed
from finial.assemble.vehicle.levers import LEVERS, ballast, canopy, swept_span
from finial.assemble.vehicle.pulls import ballast_items, pulls_of
from finial.assemble.vehicle.tweak import OF_THE_DAY, TweakKind
from finial.core.dimensions import Dimension
from finial.core.units import Quantity
from finial.findings.finding import Change
from finial.materials.material import material
from finial.report.shown import Shown
from finial.report.trial_words import change_words


@pytest.fixture(scope="module")
def by_kind(lighthouse):
    return {(one.kind, one.name): one for one in pulls_of(lighthouse)}


def pull(by_kind, kind, name=None):
    (found,) = (one for (own, called), one in by_kind.items() if own is kind and name in (None, called))
    return found


def after(lighthouse, one, value):
    return changed(lighthouse, one.changes(value)).sheet


def sheet_with(sheet, **update):
    return sheet.model_copy(update=update)


# From what to what, by the numbers of the sheet: ballast of 1910 g, fins of 6.5 mm and 190 mm, walls of
# 1.6 mm, rods at 520 N, two pins, 0.62 g of powder, 4 m of canopy, 10 m of a cord of 1000 lbf, 3.6 m of rail.
ENDS = [
    (TweakKind.BALLAST, 1.91, 5.0, 0.005, Dimension.MASS),
    (TweakKind.THICKNESS, 0.0065, 0.0195, 0.0001, Dimension.LENGTH),
    (TweakKind.WALLS, 1.0, 3.0, 0.05, Dimension.RATIO),
    (TweakKind.LESS_PRELOAD, 520.0, 520.0 / 3, 5.0, Dimension.FORCE),
    (TweakKind.PINS, 2.0, 8.0, 1.0, Dimension.RATIO),
    (TweakKind.CHARGE, 1.0, 3.0, 0.05, Dimension.RATIO),
    (TweakKind.LESS_CHARGE, 1.0, 0.3, 0.05, Dimension.RATIO),
    (TweakKind.CANOPY, 4.0, 8.0, 0.01, Dimension.LENGTH),
    (TweakKind.SMALLER_CANOPY, 4.0, 2.0, 0.01, Dimension.LENGTH),
    (TweakKind.CORD, 1000.0 * 4.4482216, 3000.0 * 4.4482216, 50.0, Dimension.FORCE),
    (TweakKind.LONGER_CORD, 10.0, 30.0, 0.05, Dimension.LENGTH),
    (TweakKind.RAIL, 3.6, 12.0, 0.05, Dimension.LENGTH),
]


@pytest.mark.parametrize(
    ("kind", "now", "most", "step", "dimension"), ENDS, ids=[one[0].value for one in ENDS]
)
def test_a_lever_goes_from_what_the_sheet_says_to_its_most(by_kind, kind, now, most, step, dimension):
    one = pull(by_kind, kind, "" if kind is TweakKind.WALLS else None)
    assert (one.now, one.most) == (pytest.approx(now, rel=2e-3), pytest.approx(most, rel=2e-3))
    assert (one.step, one.dimension) == (step, dimension)


def test_rods_are_tightened_to_half_of_what_they_yield_at(lighthouse, by_kind):
    """Common practice for rods that are used again; ISO 898-1 gives M8 a stress area of 36.6 mm2."""
    (rod,) = lighthouse.sheet.rod
    one = pull(by_kind, TweakKind.PRELOAD)
    assert (one.now, one.step, one.dimension) == (520.0, 5.0, Dimension.FORCE)
    assert one.most == pytest.approx(0.5 * material(rod.material).yield_pa.low * 36.6e-6, rel=3e-3)


def test_fins_reach_out_to_twice_theirs_or_to_a_width_and_a_half(lighthouse, by_kind):
    reach, width = 0.190, lighthouse.skin.width_m
    widest = max(2.0, 1.5 * width / reach)
    for kind in (TweakKind.SPAN, TweakKind.SWEPT):
        one = pull(by_kind, kind)
        assert (one.now, one.most, one.step) == (1.0, pytest.approx(widest), 0.01)
    (fin,) = lighthouse.sheet.fin
    short = tuple((along, Quantity(value=out.value / 10, text="")) for along, out in fin.outline)
    stubs = fin.model_copy(update={"outline": short})
    stubby = [one for one in pulls._fins(sheet_with(lighthouse.sheet, fin=(stubs,)), width)]
    assert stubby[0].most == pytest.approx(1.5 * width / 0.019)


def test_buttons_go_aft_to_two_centimetres_from_the_base(lighthouse, by_kind):
    one = pull(by_kind, TweakKind.GUIDES)
    assert (one.now, one.step) == (1.17, 0.001)
    assert one.most == pytest.approx(lighthouse.skin.length_m - 0.02)
    moved = after(lighthouse, one, 1.18)
    assert [button.value for button in moved.guide.buttons] == pytest.approx([0.62, 1.18])


def test_each_lever_writes_its_value_into_its_own_place(lighthouse, by_kind):
    def sheet(kind, value):
        return after(lighthouse, pull(by_kind, kind), value)

    heavy = next(one for one in sheet(TweakKind.BALLAST, 2.5).item if one.kind == "ballast")
    assert (heavy.mass.value, heavy.mass.tolerance) == (2.5, pytest.approx(0.01))
    assert sheet(TweakKind.THICKNESS, 0.008).fin[0].thickness.value == pytest.approx(0.008)
    assert sheet(TweakKind.PRELOAD, 700.0).rod[0].preload.value == pytest.approx(700.0)
    assert sheet(TweakKind.LESS_PRELOAD, 300.0).rod[0].preload.value == pytest.approx(300.0)
    pins = sheet(TweakKind.PINS, 4.2).recovery.joint[0].pins
    assert (pins.count, pins.screw) == (4, "M2 nylon")
    assert sheet(TweakKind.CANOPY, 5.0).recovery.canopy[0].diameter.value == pytest.approx(5.0)
    cord = sheet(TweakKind.CORD, 6000.0).recovery.cord[0]
    assert cord.breaking_load.value == pytest.approx(6000.0, rel=1e-3)
    assert sheet(TweakKind.LONGER_CORD, 12.0).recovery.cord[0].length.value == pytest.approx(12.0)
    assert sheet(TweakKind.RAIL, 5.0).launch.rail_length.value == pytest.approx(5.0)
    both = sheet(TweakKind.CHARGE, 1.5).recovery.charge
    assert [one.powder.value for one in both] == pytest.approx([0.93e-3, 1.13e-3], abs=6e-6)
    less = sheet(TweakKind.LESS_CHARGE, 0.5).recovery.charge
    assert [one.powder.value for one in less] == pytest.approx([0.31e-3, 0.38e-3], abs=6e-6)


def test_longer_fins_go_out_and_swept_ones_aft_as_far_as_out(lighthouse, by_kind):
    (before,) = lighthouse.sheet.fin
    (straight,) = after(lighthouse, pull(by_kind, TweakKind.SPAN), 1.2).fin
    (swept,) = after(lighthouse, pull(by_kind, TweakKind.SWEPT), 1.2).fin
    for (along, out), plain, slanted in zip(before.outline, straight.outline, swept.outline, strict=True):
        assert (plain[0].value, plain[1].value) == pytest.approx((along.value, 1.2 * out.value), abs=6e-5)
        aft = along.value + 0.2 * out.value
        assert (slanted[0].value, slanted[1].value) == pytest.approx((aft, 1.2 * out.value), abs=6e-5)
    assert swept_span(lighthouse.sheet, "fins", 1.0) == LEVERS["span"](lighthouse.sheet, "fins", 1.0)


def test_thicker_walls_make_weighed_parts_heavier_by_what_their_walls_add(lighthouse, by_kind):
    """Twice the wall is less than twice the mass: the infill inside it gives way."""
    parts = after(lighthouse, pull(by_kind, TweakKind.WALLS, ""), 2.0).part
    for before, now in zip(lighthouse.sheet.part, parts, strict=True):
        assert now.print.wall.value == pytest.approx(2 * before.print.wall.value)
        assert 1.4 < now.weighed.value / before.weighed.value < 2.0
    same = after(lighthouse, pull(by_kind, TweakKind.WALLS, ""), 1.0).part
    assert [one.weighed.value for one in same] == pytest.approx(
        [one.weighed.value for one in lighthouse.sheet.part]
    )


def test_walls_are_never_tried_thicker_than_two_centimetres(lighthouse):
    thick = Quantity(value=0.01, text="10 mm")

    def walled(part):
        printed = part.spec.print.model_copy(update={"wall": thick})
        return replace(part, spec=part.spec.model_copy(update={"print": printed}))

    found = list(pulls._walls(replace(lighthouse, parts=tuple(map(walled, lighthouse.parts)))))
    assert [one.most for one in found] == pytest.approx([2.0, 2.0, 2.0])
    bought = [replace(part, spec=part.spec.model_copy(update={"print": None})) for part in lighthouse.parts]
    assert list(pulls._walls(replace(lighthouse, parts=tuple(bought)))) == []


@pytest.mark.parametrize(
    ("name", "words"),
    [("", "walls 150 % of their thickness"), ("dome, roof", "walls of dome, roof 150 % of their thickness")],
)
def test_walls_are_told_with_the_parts_that_have_them(name: str, words: str) -> None:
    change = Change(lever="walls", name=name, was=1.0, size=1.5, dimension=Dimension.RATIO)
    assert change_words(change, Shown(us_units=False)) == words


def test_a_canopy_s_cloth_grows_with_its_area(lighthouse):
    sheet = lighthouse.sheet
    name = sheet.recovery.canopy[0].name
    (larger,) = changed(lighthouse, canopy(sheet, name, 6.0)).sheet.recovery.canopy
    before = sheet.recovery.canopy[0]
    assert larger.mass.value == pytest.approx(before.mass.value * 2.25, abs=6e-5)
    assert larger.mass.tolerance == pytest.approx(before.mass.tolerance * 2.25, abs=6e-5)
    assert larger.diameter.tolerance == pytest.approx(before.diameter.tolerance)


@pytest.mark.parametrize(("mass_kg", "text"), [(2.5, "2500 g +- 10 g"), (0.004, "4 g +- 4 g"), (0.0, "0 g")])
def test_a_tolerance_never_exceeds_the_mass(lighthouse, mass_kg, text):
    item = next(one.name for one in lighthouse.sheet.item if one.kind == "ballast")
    written = {where[-1]: text for where, text in ballast(lighthouse.sheet, item, mass_kg).items()}
    assert written["mass"] == text


@pytest.mark.parametrize(("mass_kg", "grown_mm"), [(2.91, 23.5), (1.91, 0.0), (0.91, -23.5)])
def test_ballast_stands_on_its_aft_end_and_grows_towards_the_tip(lighthouse, mass_kg, grown_mm):
    """A kilogram of steel 83 mm across is 1 / (7850 x pi / 4 x 0.083^2) = 23.5 mm long."""
    item = next(one for one in lighthouse.sheet.item if one.kind == "ballast")
    assert (item.across.value, item.material, item.length) == (0.083, "steel", None)
    (heavier,) = _ballasts(lighthouse, item.name, mass_kg)
    assert heavier.station.value == pytest.approx(item.station.value - 5e-4 * grown_mm, abs=1e-4)
    assert heavier.station.tolerance == item.station.tolerance


def _ballasts(lighthouse, name, mass_kg):
    sheet = changed(lighthouse, ballast(lighthouse.sheet, name, mass_kg)).sheet
    return [one for one in sheet.item if one.name == name]


def test_ballast_with_a_length_grows_by_the_same_stuff(lighthouse):
    sheet, item = lighthouse.sheet, lighthouse.sheet.item[0]
    long = item.model_copy(update={"length": Quantity(value=0.045, text="45 mm")})
    told = ballast(sheet_with(sheet, item=(long, *sheet.item[1:])), item.name, 2.91)
    assert told[("item", 0, "length")] == "68.5 mm"
    assert told[("item", 0, "station")] == "92.2 mm +- 1 mm"


@pytest.mark.parametrize("update", [{"across": None}, {"tilt": Quantity(value=0.1, text="0.1 rad")}])
def test_ballast_that_leans_or_has_no_width_stays_where_it_is(lighthouse, update):
    sheet, item = lighthouse.sheet, lighthouse.sheet.item[0]
    told = ballast(sheet_with(sheet, item=(item.model_copy(update=update), *sheet.item[1:])), item.name, 2.91)
    assert [where[-1] for where in told] == ["mass"]


def test_ballast_is_what_is_marked_so_or_what_stands_foremost(lighthouse):
    sheet = lighthouse.sheet
    assert ballast_items(sheet) == tuple(
        one.name for one in sorted(sheet.item, key=lambda one: one.station.value) if one.kind == "ballast"
    )
    unmarked = tuple(one.model_copy(update={"kind": "other"}) for one in reversed(sheet.item))
    foremost = min(sheet.item, key=lambda one: one.station.value).name
    assert ballast_items(sheet_with(sheet, item=unmarked)) == (foremost,)
    assert ballast_items(sheet_with(sheet, item=())) == ()


def test_what_the_sheet_lacks_or_has_at_its_most_is_not_pulled_at(lighthouse):
    sheet = lighthouse.sheet
    (rods,) = sheet.rod
    assert list(pulls._rods(sheet_with(sheet, rod=(rods.model_copy(update={"preload": None}),)))) == []
    (joint,) = sheet.recovery.joint

    def pinned(count):
        pins = joint.pins.model_copy(update={"count": count})
        recovery = sheet.recovery.model_copy(update={"joint": (joint.model_copy(update={"pins": pins}),)})
        return list(pulls._pins(sheet_with(sheet, recovery=recovery)))

    assert [len(pinned(count)) for count in (7, 8, 9)] == [1, 0, 0]
    bare = sheet.recovery.model_copy(
        update={"joint": (joint.model_copy(update={"pins": None}),), "charge": ()}
    )
    (none,) = pulls._pins(sheet_with(sheet, recovery=bare))
    assert (none.now, none.most) == (0.0, 8.0)
    assert none.changes(2.0) == {("recovery", "joint", 0, "pins"): {"screw": "2-56 nylon", "count": 2}}
    assert list(pulls._charges(sheet_with(sheet, recovery=bare))) == []


def test_a_long_rail_heavy_ballast_and_a_single_button_are_not_pulled_at(lighthouse):
    sheet = lighthouse.sheet

    def kinds(**update):
        return {one.kind for one in pulls_of(replace(lighthouse, sheet=sheet_with(sheet, **update)))}

    far = sheet.launch.model_copy(update={"rail_length": Quantity(value=15.0, text="15 m")})
    seven = Quantity(value=7.0, text="7 kg")
    heavy = tuple(one.model_copy(update={"mass": seven}) for one in sheet.item)
    single = sheet.guide.model_copy(update={"buttons": sheet.guide.buttons[:1]})
    assert TweakKind.RAIL not in kinds(launch=far)
    assert TweakKind.BALLAST not in kinds(item=heavy)
    assert TweakKind.GUIDES not in kinds(guide=single)
    assert TweakKind.GUIDES not in kinds(guide=None)


def test_ports_go_aft_fins_straight_and_ballast_out(lighthouse, by_kind):
    ports = pull(by_kind, TweakKind.PORTS)
    assert (ports.now, ports.most) == (0.72, pytest.approx(0.85 * lighthouse.skin.length_m))
    assert after(lighthouse, ports, 0.9).electronics.port[0].station.value == pytest.approx(0.9)
    less = pull(by_kind, TweakKind.LESS_BALLAST)
    assert (less.now, less.most) == (1.91, 0.0)
    assert after(lighthouse, less, 1.5).item[0].mass.value == pytest.approx(1.5)
    (fin,) = lighthouse.sheet.fin
    canted = sheet_with(
        lighthouse.sheet, fin=(fin.model_copy(update={"cant": Quantity(value=0.07, text="4 deg")}),)
    )
    straight = next(one for one in pulls._fins(canted, 0.17) if one.kind is TweakKind.CANT)
    assert (straight.now, straight.most, straight.dimension) == (0.07, 0.0, Dimension.ANGLE)
    assert straight.changes(math.radians(1.0)) == {("fin", 0, "cant"): "1 deg"}
    assert TweakKind.CANT not in {kind for kind, _ in by_kind}, "fins that are straight already"
    assert TweakKind.WHITE not in {kind for kind, _ in by_kind}, "white already"
    dark = lighthouse.sheet.vehicle.model_copy(update={"colour": "dark"})
    (white,) = pulls._painted(sheet_with(lighthouse.sheet, vehicle=dark))
    assert white.is_whole
    assert white.changes(1.0) == {("vehicle", "colour"): "white"}


def test_the_day_is_pulled_at_and_mends_no_vehicle(lighthouse, by_kind):
    assert {TweakKind.CALMER, TweakKind.UPRIGHT, TweakKind.PEOPLE, TweakKind.WARMER} == OF_THE_DAY
    calm = after(lighthouse, pull(by_kind, TweakKind.CALMER), 0.5).launch.wind
    assert (calm.value, calm.tolerance) == (0.5, 0.5), "never less than none"
    upright = pull(by_kind, TweakKind.UPRIGHT)
    assert (upright.now, upright.most) == (pytest.approx(math.radians(3.0)), 0.0)
    assert after(lighthouse, upright, math.radians(1.5)).launch.tilt.value == pytest.approx(math.radians(1.5))
    people = pull(by_kind, TweakKind.PEOPLE)
    assert (people.now, people.most) == (120.0, 1000.0)
    assert after(lighthouse, people, 200.0).launch.crowd_distance.value == 200.0
    unsaid = lighthouse.sheet.launch.model_copy(update={"crowd_distance": None})
    assert TweakKind.PEOPLE not in {
        one.kind for one in pulls._day(sheet_with(lighthouse.sheet, launch=unsaid))
    }


def test_a_seam_is_glued_where_neither_glue_nor_a_joint_is(lighthouse):
    """The dome and the towers are glued already, and the lantern's own joint must part."""
    assert list(pulls._glued(lighthouse)) == []
    number = next(at for at, part in enumerate(lighthouse.parts) if part.spec.name == "upper tower")
    dry = lighthouse.parts[number].spec.model_copy(update={"glued": False})
    parts = list(lighthouse.parts)
    parts[number] = replace(parts[number], spec=dry)
    (one,) = pulls._glued(replace(lighthouse, parts=tuple(parts)))
    assert (one.kind, one.name, one.is_whole) == (TweakKind.GLUE, "upper tower", True)
    assert one.changes(1.0) == {("part", number, "glued"): True}


@pytest.mark.parametrize(
    ("now", "most", "step", "share", "value"),
    [
        (2.0, 12.0, 0.05, 0.25, 4.5),
        (2.0, 12.0, 0.05, 0.0, 2.0),
        (1.0, 0.3, 0.05, 1.0, 0.3),
        (1.0, 0.3, 0.05, 2.0, 0.3),  # beyond the most and below nothing: the least of both
        (1.0, 2.0, 0.25, 0.3, 1.25),
    ],
)
def test_a_share_of_the_way_is_on_a_step_that_can_be_made(now, most, step, share, value):
    one = pulls.Tweak(kind=TweakKind.RAIL, name="", now=now, most=most, step=step,
                      dimension=Dimension.LENGTH, changes=lambda _value: {})  # fmt: skip
    assert one.at(share) == pytest.approx(value)
    assert math.isclose(one.at(0.0), now)


def test_walls_of_what_a_joint_parts_grow_by_themselves(lighthouse, by_kind):
    """The lantern joint stands at 295 mm, where the upper tower begins."""
    names = {name for kind, name in by_kind if kind is TweakKind.WALLS}
    tower = "upper tower, middle tower, lower tower and plinth"
    assert names == {"", "dome, lantern and gallery", tower}
    parts = after(lighthouse, pull(by_kind, TweakKind.WALLS, tower), 1.5).part
    assert [part.print.wall.value for part in parts] == pytest.approx([0.0016, 0.0016, *(3 * [0.0024])])
    assert parts[0].weighed.value == lighthouse.sheet.part[0].weighed.value
    assert parts[2].weighed.value > lighthouse.sheet.part[2].weighed.value
