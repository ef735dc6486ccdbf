"""Further joins on paper: rows of masses, fins in meshes, buttons, heat, outcomes, names of places."""

import math
from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from finial.assemble.flights import one_unlit, outcome, thrust_line
from finial.assemble.flights.results import UNHELD_RAD, Loss
from finial.assemble.inside import guide, meetings, ways
from finial.assemble.inside.results import Size, WayOccasion
from finial.assemble.inside.things import Placed
from finial.assemble.looks.glance import look_at
from finial.assemble.mass import rows as mass
from finial.assemble.recovery import study
from finial.assemble.strength import buttons, heat
from finial.assemble.strength.fins import build
from finial.assemble.strength.results import Place
from finial.assemble.vehicle.loading import motor_of, with_motor
from finial.assemble.vehicle.places import changes_named, names, place_named
from finial.core.errors import MissingData
from finial.core.estimates import Estimate, KnownBy, exact
from finial.core.units import Quantity
from finial.files.sheet_body import BoreEntry, FinEntry, GuideEntry, ItemEntry, RodEntry
from finial.files.sheet_recovery import BayEntry, CanopyEntry, CordEntry
from finial.flight.trace import EventKind
from finial.inside.clearance import Gap
from finial.inside.order import SNUG_M
from finial.inside.rail import RailGap
from finial.inside.things import Kind, Thing
from finial.inside.walls import Overlap
from finial.materials.material import material
from finial.shape.fin_set import FinSet
from finial.shape.repair import repaired
from finial.shape.tiers import Tier, tiers_mesh

QUARTER = math.pi / 4


def about(value, low, high, known_by=KnownBy.COMPUTED):
    return Estimate(value=value, low=low, high=high, known_by=known_by, method="")


def quantity(value, tolerance=0.0):
    return Quantity(value=value, text="", tolerance=tolerance)


# ---------------------------------------------------------------- rows of the mass table


@pytest.fixture
def stuffs(monkeypatch):
    """Materials straight from the tables."""
    for module in (mass, buttons, heat, build):
        monkeypatch.setattr(module, "sheet_material", lambda sheet, name: material(name))


def test_rods_weigh_their_stress_area_between_their_stations(stuffs):
    """ISO 898-1: M6 has 20.12 mm2; aluminium 2700 kg/m3."""
    rod = RodEntry.model_validate({"thread": "M6", "material": "6061-T6", "count": 4, "on_circle": "84 mm",
                                   "stations": ["200 mm", "900 mm"]})  # fmt: skip
    row = mass._rod_row(None, rod)
    each = 20.12e-6 * 0.7 * 2700.0
    assert row.mass.value == pytest.approx(4 * each, rel=4e-3)
    assert (row.station.value, row.span_m, row.kind) == (pytest.approx(0.55), (0.2, 0.9), "rod")
    assert row.mass.known_by is KnownBy.COMPUTED
    # About the axis: m r2; across, in their middle: m L2 / 12 and half of m r2.
    assert row.body.inertia_kg_m2[0, 0] == pytest.approx(row.mass.value * 0.042**2, rel=1e-3)
    assert row.body.inertia_kg_m2[1, 1] == pytest.approx(
        row.mass.value * (0.7**2 / 12 + 0.042**2 / 2), rel=1e-2
    )


def fin_entry(**given):
    outline = [["0 mm", "0 mm"], ["40 mm", "100 mm"], ["140 mm", "100 mm"], ["200 mm", "0 mm"]]
    return FinEntry.model_validate({"name": "fins", "outline": outline, "station": "900 mm", "count": 4,
                                    "thickness": "4 mm +- 0.2 mm", "material": "polycarbonate",
                                    "edges": "square", **given})  # fmt: skip


FIN = FinSet(
    name="fins",
    outline_m=np.array([[0.0, 0.0], [0.04, 0.1], [0.14, 0.1], [0.2, 0.0]]),
    station_m=0.9,
    root_radius_m=0.05,
    count=4,
    first_at_rad=0.0,
    thickness_m=0.004,
)


def test_fins_weigh_area_thickness_and_density_with_the_scatter_of_both(stuffs):
    row = mass._fin_row(None, FIN, fin_entry())
    stuff = material("polycarbonate").density_kg_m3
    assert row.mass.value == pytest.approx(4 * 0.015 * 0.004 * stuff.value, rel=1e-6)
    share = stuff.half_width / stuff.value + 0.05
    assert row.mass.high / row.mass.value == pytest.approx(1 + share)
    assert row.span_m == pytest.approx((0.9, 1.1))


def test_an_item_weighs_at_its_place_and_is_ballast_when_marked():
    item = ItemEntry.model_validate({"name": "shot", "mass": "500 g +- 5 g", "station": "120 mm +- 2 mm",
                                     "kind": "ballast",
                                     "offset": ["3 mm", "4 mm"], "known_by": "weighed"})  # fmt: skip
    row = mass._item_row(item)
    assert (row.mass.low, row.mass.high, row.station.high) == pytest.approx((0.495, 0.505, 0.122))
    assert row.body.centre_m == pytest.approx([-0.12, 0.003, 0.004])
    assert row.mass.known_by is KnownBy.WEIGHED
    assert row.is_ballast is True
    assert mass._item_row(item.model_copy(update={"kind": "sled"})).is_ballast is False


BAY = BayEntry.model_validate(
    {
        "name": "bay",
        "joint": "joint",
        "stations": ["200 mm", "500 mm"],
        "diameter": "80 mm",
        "round_tube": True,
        "offset": ["10 mm", "0 mm"],
        "tilt": "45 deg",
    }
)


def canopy(**given):
    usual = {"name": "main", "bay": "bay", "kind": "flat circular", "event": "apogee", "station": "300 mm"}
    usual |= {"diameter": "1.2 m", "diameter_measures": "nominal", "mass": "200 g"}
    return CanopyEntry.model_validate({**usual, **given})


def test_a_canopy_hangs_on_the_axis_of_its_bay_and_is_weighed_where_it_has_a_tolerance():
    sheet = SimpleNamespace(recovery=SimpleNamespace(bay=(BAY,)))
    row = mass._canopy_row(sheet, canopy())
    # 50 mm ahead of the bay's middle: at 45 degrees 50 mm further out.
    assert row.body.centre_m == pytest.approx([-0.3, 0.06, 0.0])
    assert row.mass.known_by is KnownBy.HANDBOOK
    assert mass._canopy_row(sheet, canopy(mass="200 g +- 2 g")).mass.known_by is KnownBy.WEIGHED
    nowhere = mass._canopy_row(sheet, canopy(bay="none"))
    assert nowhere.body.centre_m == pytest.approx([-0.3, 0.0, 0.0])


def test_cords_lie_in_the_middle_of_their_bay_and_unweighed_ones_are_left_out():
    def cord(**given):
        usual = {"name": "cord", "joint": "joint", "material": "nylon webbing 1000 lbf", "length": "6 m"}
        return CordEntry.model_validate({**usual, "mass_per_length": "10 g/m", **given})

    unknown = cord(name="x", mass_per_length=None, breaking_load="4 kN", stretch_at_break="20 %")
    recovery = SimpleNamespace(bay=(BAY,), cord=(cord(), unknown, cord(name="y", joint="other")))
    (row,) = mass._cord_rows(SimpleNamespace(sheet=SimpleNamespace(recovery=recovery)))
    assert (row.mass.low, row.mass.value, row.mass.high) == pytest.approx((0.054, 0.06, 0.066))
    assert row.body.centre_m == pytest.approx([-0.35, 0.01, 0.0])
    assert (row.name, row.kind, row.station.value) == ("cord", "cord", pytest.approx(0.35))


@pytest.mark.parametrize(
    ("size", "area_m2", "girth_m"),
    [({"across": "20 mm"}, QUARTER * 0.02**2, math.pi * 0.02), ({"sides": ["30 mm", "20 mm"]}, 6e-4, 0.1)],
)
def test_a_hole_counts_as_far_as_it_lies_in_its_part(size, area_m2, girth_m):
    bore = BoreEntry.model_validate({"stations": ["100 mm", "800 mm"], "offset": ["5 mm", "0 mm"], **size})
    inside, beyond = mass._hole(bore, (0.2, 0.6)), mass._hole(bore, (0.0, 0.9))
    assert (inside.area_m2, inside.girth_m) == pytest.approx((area_m2, girth_m))
    assert inside.offset_m == (0.005, 0.0)
    assert (inside.stations_m, beyond.stations_m) == ((0.2, 0.6), pytest.approx((0.1, 0.8)))


def test_a_begun_sheet_weighs_its_motor_as_soon_as_it_names_one(answered):
    vehicle, rows = answered.vehicle, answered.rows
    whole = mass.weighed_so_far(vehicle, rows)
    assert whole.mass.value == pytest.approx(answered.mass.lift_off_mass.value)
    assert whole.balance.value == pytest.approx(answered.mass.lift_off_balance.value)
    begun = replace(vehicle, files=replace(vehicle.files, missing=("motor",)))
    without = mass.weighed_so_far(begun, rows)
    assert whole.mass.value - without.mass.value == pytest.approx(mass.motor_row(vehicle, 1.0).mass.value)
    assert len(whole.rows) == len(without.rows) + 1


def test_a_row_s_own_interval_counts_as_it_widens_the_sum():
    def row(value, off, station, known_by):
        estimate = about(value, value - off, value + off, known_by)
        body = SimpleNamespace(mass_kg=value)
        return SimpleNamespace(mass=estimate, station=exact(station), body=body)

    rows = (row(1.0, 0.2, 0.1, KnownBy.ASSUMED), row(5.0, 0.1, 0.5, KnownBy.WEIGHED))
    found = mass._total_mass(rows)
    assert (found.low, found.value, found.high, found.known_by) == pytest.approx(
        (5.7, 6.0, 6.3, KnownBy.ASSUMED)
    )
    sure = (row(1.0, 0.01, 0.1, KnownBy.ASSUMED), row(5.0, 0.1, 0.5, KnownBy.WEIGHED))
    assert mass._total_mass(sure).known_by is KnownBy.COMPUTED


def test_the_balance_on_the_way_goes_from_lift_off_to_burnout():
    result = SimpleNamespace(lift_off_balance=about(0.8, 0.78, 0.83), burnout_balance=about(0.7, 0.69, 0.72))
    history = SimpleNamespace(times_s=np.array([0.0, 2.0]), centres_m=np.array([[-0.8, 0, 0], [-0.7, 0, 0]]))
    half = mass.balance_at(result, history, 1.0)
    assert (half.low, half.value, half.high) == pytest.approx((0.735, 0.75, 0.775))
    for time, end in ((-1.0, result.lift_off_balance), (9.0, result.burnout_balance)):
        found = mass.balance_at(result, history, time)
        assert (found.low, found.value, found.high) == pytest.approx((end.low, end.value, end.high))
    still = SimpleNamespace(lift_off_balance=about(0.8, 0.78, 0.83), burnout_balance=about(0.8, 0.75, 0.9))
    assert mass.balance_at(still, history, 0.0).high == pytest.approx(0.83)


# ---------------------------------------------------------------- fins drawn in meshes


def part(wall_m=0.0012, infill=0.2, stuff="PETG", *, across=0.02, name="part"):
    """A square post of 100 mm from the tip aft, as a printed part, 20 mm across."""
    printed = wall_m and SimpleNamespace(wall=quantity(wall_m), infill=quantity(infill))
    mesh = tiers_mesh([Tier(sides=4, across_m=across, across_top_m=across, height_m=0.1)])
    spec = SimpleNamespace(name=name, print=printed, material=stuff)
    return SimpleNamespace(spec=spec, mended=repaired(mesh), span_m=(0.0, 0.1))


def test_a_drawn_fin_is_filled_as_its_part_is(stuffs):
    """Walls of 1.2 mm on 6 mm leave a core of 0.6: stiffness goes with its cube, mass with itself."""
    thick = replace(FIN, thickness_m=0.006)
    vehicle = SimpleNamespace(sheet=None)
    found = build._of_mesh(vehicle, thick, part())
    assert build._core(part(), 0.006) == pytest.approx(0.6)
    assert found.solid_share == pytest.approx(1 - (1 - 0.04) * 0.216)
    assert found.density_share == pytest.approx(1 - 0.8 * 0.6)
    assert (found.thickness.low, found.thickness.high) == pytest.approx((0.0054, 0.0066))
    assert found.strength.value == pytest.approx(material("PETG").yield_pa.value * found.solid_share)
    thin = build._of_mesh(vehicle, replace(FIN, thickness_m=0.002), part())
    assert (build._core(part(), 0.002), thin.solid_share, thin.density_share) == (0.0, 1.0, 1.0)
    solid = build._of_mesh(vehicle, thick, part(None, stuff="6061-T6"))
    assert (build._core(part(None), 0.006), solid.solid_share, solid.density_share) == (0.0, 1.0, 1.0)


def test_a_fin_that_nobody_drew_or_that_has_no_thickness_is_of_no_known_stuff(stuffs):
    assert build._of_mesh(None, FIN, None).stuff is None
    none = build._of_mesh(None, replace(FIN, thickness_m=0.0), part())
    assert (none.stuff, none.thickness.value) == (None, 0.0)


STUB = FinSet(
    name="stub",
    outline_m=np.array([[0.0, 0.0], [0.02, 0.009], [0.08, 0.009], [0.1, 0.0]]),
    station_m=0.0,
    root_radius_m=0.0,
    count=1,
    first_at_rad=0.0,
    thickness_m=0.002,
)
"""Reaches 9 mm out: two thirds of that is 6 mm from the axis, inside a post of 20 mm."""


@pytest.mark.parametrize(
    ("fins", "holds"),
    [
        (STUB, True),
        (replace(STUB, station_m=0.049), True),  # its outermost part at 99 mm
        (replace(STUB, station_m=0.051), False),
        (replace(STUB, station_m=-0.051), False),
        (
            replace(STUB, root_radius_m=0.0055),
            True,
        ),  # 11.5 mm out: 1.5 mm off the post, less than it is thick
        (replace(STUB, root_radius_m=0.0065), False),
        (replace(STUB, root_radius_m=0.0065, thickness_m=0.004), True),
        (replace(STUB, root_radius_m=0.0065, first_at_rad=math.pi), False),
    ],
)
def test_a_part_holds_a_fin_that_its_cut_shows_two_thirds_out(fins, holds):
    assert build._holds(part(), fins) is holds


def test_a_fin_is_of_the_one_stuff_that_holds_it():
    one, twin, other = part(), part(name="twin"), part(stuff="PLA")
    bought = part(None)
    assert build.part_of(SimpleNamespace(parts=[one]), STUB) is one
    assert build.part_of(SimpleNamespace(parts=[one, twin]), STUB) is one
    assert build.part_of(SimpleNamespace(parts=[one, other]), STUB) is None
    assert build.part_of(SimpleNamespace(parts=[one, bought]), STUB) is None
    assert build.part_of(SimpleNamespace(parts=[]), STUB) is None


def test_fins_of_the_sheet_come_first_then_those_of_the_meshes(stuffs, monkeypatch):
    monkeypatch.setattr(build, "_parts_of", lambda drawn: (part(),))
    vehicle = SimpleNamespace(sheet=SimpleNamespace(fin=(fin_entry(thickness_tip="2 mm"),)), parts=())
    air = [SimpleNamespace(fins=FIN), SimpleNamespace(fins=replace(FIN, name="drawn", thickness_m=0.006))]
    entered, drawn = build.fin_builds(vehicle, air)
    assert (entered.fins.name, drawn.fins.name) == ("fins", "drawn")
    assert (entered.tip_thickness.value, entered.drawn_in) == (0.002, None)
    assert (entered.solid_share, drawn.drawn_in.spec.name) == (1.0, "part")
    assert (entered.thickness.low, entered.thickness.high) == pytest.approx((0.0038, 0.0042))


# ---------------------------------------------------------------- rail and buttons


def guided(**given):
    return GuideEntry.model_validate({"buttons": ["1100 mm", "600 mm"], "at": "90 deg", **given})


@pytest.fixture
def beside(monkeypatch):
    """Skin 50 mm off the axis at the fore button, 60 at the aft one; none behind a metre and a half."""
    outs = {0.6: 0.05, 1.1: 0.06}
    monkeypatch.setattr(guide, "skin_beside", lambda given, skin, station: outs.get(station, -math.inf))
    return SimpleNamespace(length_m=1.5)


def test_a_rail_that_the_sheet_does_not_place_runs_three_millimetres_off_the_widest_button(beside):
    line, taken = guide.rail_line(guided(), beside)
    assert (line.face_m, line.width_m, line.roll_rad) == pytest.approx((0.063, 0.04, math.pi / 2))
    assert [(one.size, one.value.value) for one in taken] == [
        (Size.RAIL_WIDTH, 0.04),
        (Size.RAIL, pytest.approx(0.063)),
    ]
    line, taken = guide.rail_line(guided(rail_from_axis="75 mm", rail_width="25 mm", aside="4 mm"), beside)
    assert (line.face_m, line.width_m, line.aside_m, taken) == (0.075, 0.025, 0.004, ())
    # No skin under any button: 3 mm off the axis.
    line, _ = guide.rail_line(guided(buttons=["1400 mm"]), beside)
    assert line.face_m == pytest.approx(0.003)


@pytest.mark.parametrize(
    ("station", "across", "has"),
    [
        (0.6, None, True),
        (0.007, None, False),
        (1.508, None, False),
        (0.9, None, False),
        (1.1, "2.3 m", False),
    ],
)
def test_a_button_has_skin_behind_it_where_it_is_on_the_body_and_the_body_is_there(
    beside, station, across, has
):
    given = guided(**({"across": across} if across else {}))
    assert guide._has_skin(given, beside, station) is has


def test_a_rail_gap_is_known_to_the_tolerance_of_its_place():
    gap = RailGap(gap_m=0.004, station_m=0.7)
    measured = guide._known(gap, guided(rail_from_axis="75 mm +- 1 mm"))
    assert (measured.low, measured.high, measured.known_by) == (
        pytest.approx(0.003),
        pytest.approx(0.005),
        KnownBy.MEASURED,
    )
    assumed = guide._known(gap, guided())
    assert (assumed.low, assumed.high, assumed.known_by) == (0.004, 0.004, KnownBy.ASSUMED)
    assert guide._known(RailGap(gap_m=math.inf, station_m=0.0), guided()).value == 1.0


def test_every_fin_is_a_plate_beside_the_rail():
    fins = replace(FIN, count=3, first_at_rad=0.5, offset_m=(0.01, 0.0))
    plates = guide._plates(fins)
    assert [plate.roll_rad for plate in plates] == pytest.approx(
        [0.5 + 2 * math.pi * one / 3 for one in range(3)]
    )
    for plate in plates:
        assert plate.stations_m == pytest.approx((0.9, 1.1))
        assert (plate.root_m, plate.tip_m, plate.thickness_m) == pytest.approx((0.05, 0.15, 0.004))
        assert plate.offset_m == (0.01, 0.0)


def test_the_rail_ends_ahead_of_the_nozzle_by_its_length(monkeypatch, beside):
    asked = {}
    monkeypatch.setattr(
        guide,
        "_body_gap",
        lambda skin, line, ends: asked.update(body=ends) or RailGap(gap_m=0.003, station_m=0.6),
    )
    monkeypatch.setattr(
        guide,
        "fin_gap",
        lambda plates, line, ends: asked.update(fins=ends) or RailGap(gap_m=0.01, station_m=1.0, fins="fins"),
    )
    monkeypatch.setattr(
        guide,
        "button_roots",
        lambda plates, at, line, across: (
            asked.update(at=at, across=across) or RailGap(gap_m=0.02, station_m=1.1, fins="fins")
        ),
    )
    sheet = SimpleNamespace(
        guide=guided(buttons=["1400 mm", "600 mm"]),
        motor=SimpleNamespace(nozzle_station=quantity(1.5)),
        launch=SimpleNamespace(rail_length=quantity(2.0)),
    )
    check, taken = guide.guide_check(SimpleNamespace(sheet=sheet, skin=beside), (FIN,), exact(0.8))
    assert asked == {"body": -0.5, "fins": -0.5, "at": [0.6, 1.4], "across": 0.015}
    assert (check.spacing_m, check.fore_m, check.aft_m) == pytest.approx((0.8, 0.6, 1.4))
    assert (check.in_the_air_m, check.balance.value) == ((1.4,), 0.8)
    assert [one.size for one in taken] == [Size.RAIL_WIDTH, Size.RAIL, Size.BUTTON]
    sheet.guide = None
    assert guide.guide_check(SimpleNamespace(sheet=sheet, skin=beside), (FIN,), exact(0.8)) == (None, ())


def basis(*, tilt=0.0, alpha=0.1, balance=1.0):
    moment = SimpleNamespace(speed_m_s=20.0, alpha_rad=alpha)
    point = SimpleNamespace(pressure=about(1.3, 1.2, 1.4))
    launch = SimpleNamespace(tilt=quantity(tilt))
    vehicle = SimpleNamespace(
        sheet=SimpleNamespace(launch=launch, guide=guided()),
        skin=SimpleNamespace(reference_area_m2=0.02, length_m=1.5),
    )
    lift_off = SimpleNamespace(mass_kg=5.0, station_m=balance)
    return SimpleNamespace(
        vehicle=vehicle, moments=[moment], stability=[point],
        air=SimpleNamespace(result=SimpleNamespace(slope_per_rad=about(10.0, 8.0, 12.0))),
        mass=SimpleNamespace(lift_off=lift_off),
    )  # fmt: skip


def test_the_wind_pulls_the_aft_button_harder_where_its_force_acts_behind_both(monkeypatch):
    monkeypatch.setattr(buttons, "density_at", lambda vehicle, height: exact(1.2))
    monkeypatch.setattr(buttons, "_holds", lambda vehicle, given, station: None)
    hold = buttons.button_hold(basis())
    force = 1.2 / 2 * 400.0 * 0.02 * math.sin(0.1) * 10.0
    # At 1.3 m, buttons at 0.6 and 1.1 m: 1.4 of it aft and 0.4 the other way ahead.
    assert hold.station_m == 1.1
    assert hold.load.value == pytest.approx(force * 1.4)
    assert hold.load.low == pytest.approx(0.8 * force * 1.2)
    assert hold.load.high == pytest.approx(1.2 * force * 1.6)
    fore = buttons._load(basis(), (0.6, 1.1), fore=True)
    assert fore.value == pytest.approx(force * 0.4)


def test_a_leaning_rail_adds_weight_to_both_buttons(monkeypatch):
    monkeypatch.setattr(buttons, "density_at", lambda vehicle, height: exact(1.2))
    upright, leaning = (
        buttons._load(basis(tilt=tilt), (0.6, 1.1), fore=False) for tilt in (0.0, math.radians(10.0))
    )
    # 5 kg at 1.0 m: four fifths of its share on the aft one.
    assert leaning.value - upright.value == pytest.approx(5 * 9.80665 * math.sin(math.radians(10.0)) * 0.8)
    across = buttons._load(basis(alpha=2.0), (0.6, 1.1), fore=False)
    assert across.value == pytest.approx(1.2 / 2 * 400.0 * 0.02 * 10.0 * 1.4)


def test_buttons_in_one_place_or_none_are_not_judged():
    one = basis()
    one.vehicle.sheet.guide = guided(buttons=["600 mm", "600 mm"])
    assert buttons.button_hold(one) is None
    one.vehicle.sheet.guide = None
    assert buttons.button_hold(one) is None


def test_a_button_holds_by_test_or_by_its_thread_in_what_it_is_cut_into(stuffs, monkeypatch):
    monkeypatch.setattr(
        buttons,
        "part_at",
        lambda vehicle, station: (
            SimpleNamespace(spec=SimpleNamespace(material="PETG")) if station < 1.2 else None
        ),
    )
    vehicle = SimpleNamespace(sheet=None, skin=SimpleNamespace(length_m=1.15))

    def holds(station=0.6, **given):
        return buttons._holds(vehicle, guided(**given), station)

    assert holds(pull_out="300 N +- 20 N", screw="M5", engagement="10 mm").low == 280.0
    cut = math.pi * 0.005 * 0.010 / 2
    assert holds(screw="M5", engagement="10 mm").value == pytest.approx(
        0.577 * cut * material("PETG").upright_pa.value
    )
    metal = holds(screw="M5", engagement="10 mm", holds_in="6061-T6")
    assert metal.value == pytest.approx(0.577 * cut * material("6061-T6").ultimate_pa.value)
    assert holds(screw="M5") is None
    assert holds(engagement="10 mm") is None
    assert holds(1.4, screw="M5", engagement="10 mm") is not None  # past the base: the part there
    vehicle.skin.length_m = 1.5
    assert holds(1.4, screw="M5", engagement="10 mm") is None


# ---------------------------------------------------------------- ways and meetings


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
        return meetings.Meeting(first=first, second="x", gap=about(low, low, low), station_m=0.0,
                                with_part=True, outside=outside, allowed_m=allowed)  # fmt: skip

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


def test_a_pack_needs_the_width_it_is_rolled_to_over_the_length_of_its_bay(monkeypatch):
    monkeypatch.setattr(ways, "bay_contents", lambda sheet, bay: exact(0.31))
    by_hand = math.sqrt(0.31 / 352.0 / 0.3 / QUARTER)  # 352 kg/m3, Knacke
    assert ways._needed(BAY, None) == pytest.approx(by_hand, rel=1e-3)
    monkeypatch.setattr(ways, "bay_contents", lambda sheet, bay: exact(0.0))
    assert ways._needed(BAY, None) == 0.0
    monkeypatch.setattr(ways, "bay_contents", lambda sheet, bay: exact(9.0))
    assert ways._needed(BAY, None) == 0.08


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


# ---------------------------------------------------------------- heat


def test_a_part_is_judged_in_the_sun_in_a_car_and_round_the_motor(lighthouse):
    """A closed car is 20 to 45 K warmer than the air; the motor warms the parts that it stands in."""
    surface = heat.wall_warmth(lighthouse)
    cases = list(heat.heat_cases(lighthouse, surface))
    air = heat.air_temperature(lighthouse)
    car = [one for one in cases if one.place is Place.CAR]
    assert len(car) == len(lighthouse.parts)
    assert (car[0].temperature.low, car[0].temperature.high) == pytest.approx(
        (air.low + 20.0, air.high + 45.0)
    )
    assert car[0].temperature.value == pytest.approx(air.value + 30.0)
    nozzle, length = lighthouse.sheet.motor.nozzle_station.value, lighthouse.motor.length_m
    warm = {
        part.spec.name
        for part in lighthouse.parts
        if part.span_m[0] < nozzle and part.span_m[1] > nozzle - length
    }
    assert {one.part for one in cases if one.place is Place.MOTOR} == warm
    assert 0 < len(warm) < len(lighthouse.parts)
    sun = [one for one in cases if one.place is Place.SUN]
    assert {one.part for one in sun} == {part.spec.name for part in lighthouse.parts if part.spec.outside}
    for one in sun:
        # Ten kelvins short of the glass transition it is soft already (common practice).
        assert one.margin.value == pytest.approx(one.softens.value - 10.0 - surface.value)
        assert 0.0 <= one.white_cools_k < 40.0


def test_metal_does_not_soften_and_no_rod_pushes():
    parts = [
        SimpleNamespace(spec=SimpleNamespace(material=name)) for name in ("PETG", "6061-T6", "birch plywood")
    ]
    found = list(heat._softening(SimpleNamespace(sheet=SimpleNamespace(material=()), parts=parts)))
    assert [part.spec.material for part, _ in found] == ["PETG"]
    added = heat._added(exact(500.0), about(-600.0, -700.0, -400.0))
    assert (added.low, added.value, added.high) == (0.0, 0.0, 100.0)


def test_rods_and_walls_side_by_side_are_as_stiff_as_their_areas(stuffs, monkeypatch):
    here = SimpleNamespace(spec=SimpleNamespace(material="PETG"))
    cut_at = [
        SimpleNamespace(part=here, station_m=at, area=SimpleNamespace(area_m2=area))
        for at, area in ((0.3, 9e-4), (0.52, 6e-4), (0.8, 3e-4))
    ]
    other = SimpleNamespace(part=None, station_m=0.55, area=SimpleNamespace(area_m2=1.0))
    monkeypatch.setattr(
        heat, "part_at", lambda vehicle, station: here if abs(station - 0.55) < 1e-9 else None
    )
    monkeypatch.setattr(heat, "build_of", lambda vehicle: None)
    monkeypatch.setattr(heat, "wall_cuts", lambda build: [*cut_at, other])
    rod = RodEntry.model_validate({"thread": "M6", "material": "6061-T6", "count": 4, "on_circle": "84 mm",
                                   "stations": ["200 mm", "900 mm"]})  # fmt: skip
    stack, walls = heat._stack(SimpleNamespace(sheet=None), rod)
    assert stack.wall_ea_n == pytest.approx(6e-4 * material("PETG").modulus_pa.value)
    # 4 of 20.12 mm2 (ISO 898-1).
    assert stack.rod_ea_n == pytest.approx(4 * 20.12e-6 * material("6061-T6").modulus_pa.value, rel=4e-3)
    assert walls.name == "PETG"
    short = rod.model_copy(update={"stations": (quantity(0.2), quantity(0.3))})
    assert heat._stack(SimpleNamespace(sheet=None), short) is None


def test_creep_leaves_less_the_longer_and_the_warmer_and_metal_keeps_all():
    stack = heat.Stack(wall_ea_n=1.2e6, rod_ea_n=5.5e6)
    walls = material("PETG")
    short, long, hot = (
        heat._left(stack, walls, (exact(kelvin), wait))
        for kelvin, wait in ((310.0, 600.0), (310.0, 36e3), (330.0, 600.0))
    )
    assert 0.0 < long.value < short.value < 1.0
    assert hot.value < short.value
    assert short.low < short.value < short.high
    assert heat._left(stack, material("6061-T6"), (exact(310.0), 600.0)).value == 1.0


# ---------------------------------------------------------------- outcomes of flights


class Flown(SimpleNamespace):
    def event(self, kind, canopy=None):
        return next((one for one in self.events if one.kind is kind and canopy in (None, one.canopy)), None)


def event(kind, time=1.0, canopy="", height=0.0):
    return SimpleNamespace(kind=kind, time_s=time, canopy=canopy, height_agl_m=height)


def flights(**traces):
    return SimpleNamespace(every=tuple(traces.values()), named=traces, nominal=next(iter(traces.values())))


def test_a_canopy_is_open_only_if_it_is_in_every_flight():
    high, low = (Flown(events=(event(EventKind.OPEN, canopy="main", height=at),)) for at in (300.0, 250.0))
    never = Flown(events=())
    found = outcome._opening(flights(nominal=high, weak=low), "main")
    assert (found.canopy, found.height_agl.low, found.height_agl.value) == ("main", 250.0, 300.0)
    assert outcome._opening(flights(nominal=high, weak=never), "main").height_agl is None


def test_values_of_the_flights_are_an_interval_about_the_nominal_one():
    found = outcome._between([3.0, 1.0, 5.0])
    assert (found.low, found.value, found.high) == (1.0, 3.0, 5.0)
    two = flights(a=SimpleNamespace(x=2.0), b=SimpleNamespace(x=None))
    assert outcome._over(two, lambda trace: trace.x) is None
    assert outcome._over(flights(a=SimpleNamespace(x=2.0)), lambda trace: trace.x).value == 2.0


def test_thrust_over_weight_takes_the_bad_ends_of_both(monkeypatch):
    monkeypatch.setattr(outcome, "average_thrust", lambda motor: 500.0)
    vehicle = SimpleNamespace(motor=SimpleNamespace(thrust_spread=0.1))
    found = outcome._thrust_to_weight(vehicle, SimpleNamespace(lift_off_mass=about(10.0, 9.0, 11.0)))
    assert found.value == pytest.approx(500.0 / 98.0665)
    assert (found.low, found.high) == pytest.approx((450.0 / (11 * 9.80665), 550.0 / (9 * 9.80665)))


@pytest.fixture
def spoiled(monkeypatch):
    told = SimpleNamespace(over=None, early=(), burnt_out=3.0)
    monkeypatch.setattr(outcome, "thrust_ends", lambda trace: told.burnt_out)
    monkeypatch.setattr(outcome, "turned_over", lambda trace: told.over)
    monkeypatch.setattr(outcome, "under_thrust", lambda trace: SimpleNamespace(early=told.early))
    return told


def trace(*events, landed=True, last=60.0):
    return Flown(events=(event(EventKind.RAIL_EXIT), *events), landed=landed, times_s=np.array([0.0, last]))


def losses(one):
    return [(lost.loss, lost.time_s, lost.under_thrust) for lost in outcome._losses("nominal", one)]


def test_a_sound_flight_loses_nothing_and_each_loss_is_told_when_it_comes(spoiled):
    assert losses(trace()) == []
    spoiled.over = 2.0
    assert losses(trace()) == [(Loss.TURNED_OVER, 2.0, True)]
    spoiled.over = 3.0
    assert losses(trace()) == [(Loss.TURNED_OVER, 3.0, False)]
    spoiled.over, spoiled.early = (
        None,
        (event(EventKind.OUT, 2.5), event(EventKind.GROUND, 2.8), event(EventKind.OPEN, 2.9)),
    )
    assert losses(trace()) == [(Loss.EARLY_CANOPY, 2.5, True), (Loss.GROUND_UNDER_THRUST, 2.8, True)]
    spoiled.early = ()
    assert losses(trace(landed=False)) == [(Loss.NOT_FOLLOWED, 60.0, False)]
    assert losses(trace(landed=False, last=3.0)) == [(Loss.NOT_FOLLOWED, 3.0, True)]
    stuck = Flown(events=(), landed=True, times_s=np.array([0.0, 9.0]))
    assert losses(stuck) == [(Loss.NEVER_LEFT, 9.0, True)]


def test_of_several_losses_the_first_is_told(spoiled):
    spoiled.over, spoiled.early = 2.0, (event(EventKind.OUT, 1.5),)
    (lost,) = outcome._lost(flights(nominal=trace()))
    assert (lost.flight, lost.loss) == ("nominal", Loss.EARLY_CANOPY)
    spoiled.over, spoiled.early = None, ()
    assert list(outcome._lost(flights(nominal=trace()))) == []


def test_an_event_is_counted_from_the_end_of_the_thrust(spoiled, monkeypatch):
    times = iter([10.0, None, 12.0])
    monkeypatch.setattr(outcome, "trigger_time", lambda trace, trigger, threshold: next(times))
    apogee = canopy().event
    found = outcome._after_burnout(flights(a=trace(), b=trace(), c=trace()), apogee, 0.5)
    assert (found.value, found.high) == (7.5, 9.5)
    monkeypatch.setattr(outcome, "trigger_time", lambda trace, trigger, threshold: None)
    assert outcome._after_burnout(flights(a=trace()), apogee) is None


def test_thrust_passes_beside_the_balance_by_offsets_and_by_the_lean_of_its_line(monkeypatch):
    monkeypatch.setattr(
        thrust_line,
        "_across",
        lambda *given: ((about(0.0, -3e-3, 3e-3), about(0.0, -4e-3, 4e-3)), (exact(0.0), exact(0.0))),
    )
    monkeypatch.setattr(thrust_line, "reach", lambda scatter, what: 0.01)
    monkeypatch.setattr(thrust_line, "thrust_arm", lambda thrust, centre: 0.002)
    inputs = SimpleNamespace(
        mass=SimpleNamespace(centres_m=np.array([[-0.8, 0.0, 0.0]])),
        thrust=SimpleNamespace(nozzle_station_m=1.2),
    )
    arm = thrust_line._arm(SimpleNamespace(sheet=SimpleNamespace(scatter=None)), (), inputs)
    # 3 and 4 mm at right angles, and sin 0.01 over the 400 mm from the nozzle to the balance point.
    off = 0.005 + math.sin(0.01) * 0.4
    assert (arm.low, arm.value, arm.high) == pytest.approx((0.0, 0.002, 0.002 + off))


def test_the_balance_may_lie_aside_by_the_tolerance_of_what_is_heavy(monkeypatch):
    monkeypatch.setattr(thrust_line, "reach", lambda scatter, what, offset: 0.001 + offset.value)
    item = SimpleNamespace(name="shot", offset=(quantity(0.0, 0.01), quantity(0.0, 0.02)))
    rows = (
        SimpleNamespace(name="shot", kind="item", mass=exact(2.0)),
        SimpleNamespace(name="tower", kind="part", mass=exact(8.0)),
    )
    sheet = SimpleNamespace(
        scatter=None, motor=SimpleNamespace(offset=(quantity(0.0), quantity(0.002))), item=(item,)
    )
    inputs = SimpleNamespace(
        mass=SimpleNamespace(masses_kg=np.array([10.0]), centres_m=np.array([[-0.8, 0.001, 1e-10]])),
        thrust=SimpleNamespace(offset_m=(0.0, 0.003)),
    )
    (y, z), (line_y, line_z) = thrust_line._across(SimpleNamespace(sheet=sheet), rows, inputs)
    assert (y.low, y.value, y.high) == pytest.approx((-0.001, 0.001, 0.003))
    assert (z.low, z.value, z.high) == pytest.approx((-0.004, 0.0, 0.004))
    assert (line_y.high, line_z.low, line_z.high) == pytest.approx((0.001, 0.0, 0.006))


def test_the_row_at_rail_exit_is_the_first_sample_after_it():
    one = Flown(events=(event(EventKind.RAIL_EXIT, 0.25),), times_s=np.array([0.0, 0.1, 0.2, 0.3]))
    assert thrust_line._row_at_exit(one) == 3
    assert thrust_line._row_at_exit(Flown(events=(), times_s=one.times_s)) is None


def test_a_cluster_with_one_motor_unlit_leaves_slower_and_turns_about_what_is_left(monkeypatch):
    asked = []

    def held(table, mach, balance, moment, pressure):
        asked.append((mach, balance, moment, pressure))
        return None if moment > 50.0 else 0.2

    monkeypatch.setattr(one_unlit, "held_angle", held)
    given = SimpleNamespace(
        air_table=None, mass=SimpleNamespace(masses_kg=np.array([10.0]), centres_m=np.array([[-0.8, 0, 0]]))
    )
    flight = Flown(
        events=(event(EventKind.RAIL_EXIT, 0.2),), times_s=np.array([0.1, 0.2, 0.3]),
        thrusts_n=np.array([0.0, 500.0, 0.0]), machs=np.array([0.0, 0.06, 0.0]),
        dynamic_pressures_pa=np.array([0.0, 240.0, 0.0]),
    )  # fmt: skip
    assert one_unlit._angle(given, flight, 0.5, 0.04) == 0.2
    weight = 98.0665
    slower = (250.0 - weight) / (500.0 - weight)
    assert asked[0] == pytest.approx((0.06 * math.sqrt(slower), 0.8, 10.0, 240.0 * slower))
    assert one_unlit._angle(given, flight, 0.5, 0.4) == UNHELD_RAD
    assert one_unlit._angle(given, flight, 0.19, 0.04) == 0.0  # it does not lift off


# ---------------------------------------------------------------- separations, looks, motors, names


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
