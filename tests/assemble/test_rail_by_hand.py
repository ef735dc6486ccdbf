"""Rail and buttons on paper: where the rail runs, what stands beside it, what buttons hold."""

import math
from dataclasses import replace
from types import SimpleNamespace

import pytest
from made_by_hand import FIN, about, quantity

from finial.assemble.inside import guide
from finial.assemble.inside.results import Size
from finial.assemble.mass import rows as mass
from finial.assemble.strength import buttons, heat
from finial.assemble.strength.fins import build
from finial.core.estimates import KnownBy, exact
from finial.files.sheet_body import GuideEntry
from finial.inside.rail import ButtonFoot, RailGap
from finial.materials.material import material


class Plain(SimpleNamespace):
    """A stand-in told apart by identity: what is kept between looks is kept by it."""

    __hash__ = object.__hash__


@pytest.fixture
def stuffs(monkeypatch):
    """Materials straight from the tables."""
    for module in (mass, buttons, heat, build):
        monkeypatch.setattr(module, "sheet_material", lambda sheet, name: material(name))


def guided(**given):
    return GuideEntry.model_validate({"buttons": ["1100 mm", "600 mm"], "at": "90 deg", **given})


@pytest.fixture
def beside(monkeypatch):
    """Skin 50 mm off the axis at the fore button, 60 at the aft one; none behind a metre and a half."""
    outs = {0.6: 0.05, 1.1: 0.06}
    monkeypatch.setattr(guide, "skin_beside", lambda given, skin, station: outs.get(station, -math.inf))
    return Plain(length_m=1.5)


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
    assert guide.has_skin(given, beside, station) is has


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


def test_a_button_reaches_as_deep_as_its_height_past_the_outermost_skin(beside):
    """Skin 50 and 60 mm off the axis, the rail at 66: a button of 11 mm ends 5 mm behind the rail's face."""
    reach = guide._reach(guided(height="11 mm +- 0.5 mm", rail_from_axis="66 mm +- 1 mm"), beside, 0.066)
    assert (reach.low, reach.value, reach.high) == pytest.approx((0.0035, 0.005, 0.0065))
    assert reach.known_by is KnownBy.MEASURED
    assumed = guide._reach(guided(height="11 mm"), beside, 0.063)
    assert (assumed.value, assumed.known_by) == (pytest.approx(0.008), KnownBy.ASSUMED)
    assert guide._reach(guided(), beside, 0.063) is None
    assert guide._reach(guided(height="11 mm", buttons=["1400 mm"]), beside, 0.063) is None


def test_the_button_on_the_worst_foot_is_told(monkeypatch, beside):
    feet = {0.6: (0.001, 0.0), 1.1: (0.0, 0.002)}
    monkeypatch.setattr(
        guide,
        "button_foot",
        lambda skin, line, at, across: ButtonFoot(station_m=at, rise_m=feet[at][0], drop_m=feet[at][1]),
    )
    assert guide._worst_foot(Plain(length_m=1.5), None, (0.6, 1.1), 0.014).station_m == 1.1
    assert guide._worst_foot(Plain(length_m=1.5), None, (0.6,), 0.014).station_m == 0.6
    assert guide._worst_foot(Plain(length_m=1.5), None, (), 0.014) is None


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
    monkeypatch.setattr(
        guide,
        "button_foot",
        lambda skin, line, at, across: ButtonFoot(station_m=at, rise_m=at / 1e3, drop_m=0.0),
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
    monkeypatch.setattr(buttons, "_by_thread", lambda vehicle, given, station: None)
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
        return buttons._by_thread(vehicle, guided(**given), station)

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


def test_a_test_of_a_button_counts_before_its_thread_and_both_are_told(stuffs, monkeypatch):
    monkeypatch.setattr(buttons, "density_at", lambda vehicle, height: exact(1.2))
    monkeypatch.setattr(buttons, "_by_thread", lambda vehicle, given, station: about(900.0, 800.0, 1e6))
    found = basis()
    tested = guided(pull_out="300 N +- 20 N", screw="M5", engagement="10 mm")
    found.vehicle.sheet.guide = tested
    hold = buttons.button_hold(found)
    assert (hold.holds.low, hold.tested.low) == (280.0, 280.0)
    # The screw itself, of class 8.8 over its least pitch diameter of 4.361 mm (ISO 965-2, from memory).
    assert hold.by_thread_n == pytest.approx(800e6 * math.pi / 4 * 4.361e-3**2, rel=5e-3)
    found.vehicle.sheet.guide = guided(screw="M5", engagement="10 mm")
    assert buttons.button_hold(found).holds.low == 800.0


@pytest.mark.parametrize(
    ("given", "share"),
    [
        ({}, None),
        ({"across": "15 mm"}, 15.0 / 40.0),
        ({"rail_width": "25 mm"}, guide.BUTTON_M / 0.025),
        ({"across": "15 mm", "rail_width": "25 mm"}, 0.6),
    ],
)
def test_one_measured_size_is_enough_to_hold_a_button_against_its_rail(given, share):
    found = guide._button_share(guided(**given))
    assert (found and found.value) == (share and pytest.approx(share))
