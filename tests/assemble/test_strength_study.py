"""The long look at strength, from a whole sheet."""

import math
import shutil
from pathlib import Path

import numpy as np
import pytest

from finial.assemble.looks.answer import answer
from finial.assemble.vehicle.materials import sheet_material
from finial.core.errors import BuildSheetError
from finial.findings.check import load, readiness
from finial.findings.finding import Verdict
from finial.flight.fly import make_ready
from finial.report.sections.strength_fins import hold_words
from finial.report.shown import Shown
from finial.report.wording.strength import case_words
from finial.structure.fins.root import HoldKind
from finial.structure.loads.case import Half, Load, Occasion
from finial.structure.reserves import Because, FailureMode

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
SHEET = "skerry-light.toml"
TAB = 'fixing = { kind = "tab", depth = "22 mm" }'


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    place = tmp_path_factory.mktemp("strength")
    shutil.copytree(EXAMPLES / "skerry-light", place, dirs_exist_ok=True)
    make_ready(lambda: None)
    return place


def changed(folder, *pairs, name="changed.toml"):
    text = (folder / SHEET).read_text(encoding="utf-8")
    for old, new in pairs:
        assert old in text
        text = text.replace(old, new, 1)
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return load(path)


@pytest.fixture(scope="module")
def look(folder):
    return readiness(load(folder / SHEET))


@pytest.fixture(scope="module")
def thin(folder):
    """Clear fins of little more than half the thickness, tied neither to the body nor to each other."""
    return readiness(changed(folder, ('thickness = "6.5 mm"', 'thickness = "3.5 mm"')))


def row(look, mode):
    return next(one for one in look.strength_study.reserves if one.mode is mode)


def on_the_ground(case):
    return case is not None and case.occasion is Occasion.GROUND


def test_the_example_holds(look):
    assert look.verdict <= Verdict.CAUTION
    assert all(finding.verdict <= Verdict.CAUTION for finding in look.findings)


PLAIN = {
    FailureMode.ROD_PULLED,
    FailureMode.ROD_BUCKLES,
    FailureMode.THRUST_PLATE_BREAKS,
    FailureMode.MOTOR_TUBE_LETS_GO,
    FailureMode.MOTOR_LEAVES,
}


def test_rows_come_worst_first_and_name_place_case_and_mode(look):
    lows = [-math.inf if one.reserve is None else one.reserve.low for one in look.strength_study.reserves]
    assert lows == sorted(lows)
    for one in look.strength_study.reserves:
        assert one.mode in FailureMode
        assert one.subject or one.mode in PLAIN
        assert -0.01 <= one.station_m <= 1.3


def test_every_load_case_of_flight_recovery_and_ground_is_there(look):
    names = " | ".join(case_words(case.case) for case in look.strength_study.cases)
    for wanted in (
        "max thrust",
        "max speed with a gust",
        "on the rail",
        "thrust stops",
        "charge of lantern bay pushes",
        "opens, pulls",
        "shock cord pulls",
        "off its time",
        "lands on an edge",
        "lifted at one end",
    ):
        assert wanted in names


def test_loads_close_behind_the_last_station(look):
    for case in look.strength_study.cases:
        scale = max(float(np.abs(case.axial_n).max()), float(np.abs(case.shear_n).max()), 1.0)
        assert abs(case.axial_n[-1]) < 1e-6 * scale
        assert abs(case.shear_n[-1]) < 1e-6 * scale
        assert abs(case.torsion_n_m[-1]) < 1e-6 * max(float(np.abs(case.torsion_n_m).max()), 1.0)


def test_lifted_at_one_end_bends_like_a_beam_on_two_supports(look):
    # An even bar of weight W over a length L bends by W L / 8; this one is heavier near its ends.
    case = next(one for one in look.strength_study.cases if one.case.load is Load.LIFTING)
    weight, length = 9.27 * 9.80665, 0.96 * 1.2
    assert 0.5 * weight * length / 8 < float(np.abs(case.bending_n_m).max()) < 1.2 * weight * length / 8


def test_reserves_by_station_are_the_lowest_of_all_cases(look):
    found = look.strength_study.by_station
    assert (np.diff(found.stations_m) > 0).all()
    assert not any(on_the_ground(case) for case in found.cases)
    assert all(on_the_ground(case) for case in look.strength_study.ground_by_station.cases)
    lowest = min(
        one.reserve.low
        for one in look.strength_study.reserves
        if one.reserve and not on_the_ground(one.case) and one.mode in set(found.modes)
    )
    assert float(np.nanmin(found.reserves)) == pytest.approx(lowest)


def test_the_check_itself_carries_reserves_by_station(folder):
    found = answer(load(folder / SHEET)).strength.by_station
    assert found is not None
    assert len(found.stations_m) == len(found.reserves) == len(found.modes) > 15


def test_tightened_rods_keep_the_layers_from_being_pulled(look):
    share = next(
        one
        for one in look.strength_study.shares
        if one.case.load is Load.CORD_PULLS and one.case.half is Half.AFT
    )
    assert 0.8 < share.rod_share < 0.95
    assert share.pulled_without is not None
    assert share.pulled_with is None or share.pulled_with.low > 1.5 * share.pulled_without.low


def test_preload_rises_in_the_sun_and_is_less_afterwards(look):
    preload = look.strength_study.preloads[0]
    assert preload.hot_n.value > preload.tightened_n.value > preload.cooled_n.value > 0
    assert preload.day_n.low <= preload.cold_n.low


def test_thin_clear_fins_fail_and_the_proposed_stays_mend_them(thin):
    fin = thin.strength_study.fins[0]
    assert thin.verdict is Verdict.NO_GO
    flutter = next(one for one in thin.findings if one.key == "fin-flutters-by-modes")
    assert flutter.verdict is Verdict.NO_GO
    assert fin.proposal is not None
    assert fin.proposal.reaches
    assert fin.proposal.after.frequencies_hz[0] > 1.2 * fin.held.frequencies_hz[0]


def test_the_stays_on_the_page_make_it_go(folder, thin):
    tied = """fixing = { kind = "tab", depth = "22 mm" }
[[fin.stays]]
material = "stainless wire rope"
diameter = "1.5 mm"
along = "156 mm"
outward = "114 mm"
preload = "150 N +- 14 N"
anchor_holds = "1200 N +- 100 N"
backing = { thickness = "6 mm", material = "birch plywood" }
"""

    def told(stays):
        return readiness(
            changed(
                folder,
                ('thickness = "6.5 mm"', 'thickness = "3.5 mm"'),
                ('wind = "3 m/s +- 1 m/s"', 'wind = "2 m/s +- 1 m/s"'),
                (TAB, stays),
                name="tied.toml",
            )
        )

    found = told(tied)
    fin = found.strength_study.fins[0]
    assert not any(one.fails for one in found.findings if one.stage == "strength")
    assert fin.bare is not None
    assert fin.bare.flutter.value == pytest.approx(thin.strength_study.fins[0].held.flutter.value, rel=1e-3)
    assert fin.held.flutter.low > 1.5 * fin.bare.flutter.high
    assert fin.stays[0].slack_reserve.low > 1.5
    # Their give or take is in the reserves: no end of it is looked at again.
    assert not any(one.key == "end-of-number" for one in found.findings)
    wider = told(tied.replace("+- 14 N", "+- 20 N").replace("+- 100 N", "+- 300 N"))
    looser = wider.strength_study.fins[0].stays[0]
    assert looser.slack_reserve.low < fin.stays[0].slack_reserve.low
    assert looser.anchor_holds_n.low == pytest.approx(900.0)


def test_wires_between_fins_do_not_cure_flutter(folder, thin):
    ring = """cant = "0 deg"
stays = [ { diameter = "1 mm", along = "150 mm", outward = "160 mm", preload = "80 N", to = "next fin" } ]"""
    found = readiness(
        changed(
            folder,
            ('thickness = "6.5 mm"', 'thickness = "3.5 mm"'),
            ('cant = "0 deg"', ring),
            name="ring.toml",
        )
    )
    held = found.strength_study.fins[0].held
    assert held.flutter_all_alike is not None
    assert held.flutter_all_alike.value == pytest.approx(
        thin.strength_study.fins[0].held.flutter.value, rel=1e-3
    )
    assert row(found, FailureMode.FIN_FLUTTERS_BY_MODES).because is Because.ALL_ALIKE


def test_wires_through_the_body_are_a_no_go(folder):
    through = """fixing = { kind = "tab", depth = "22 mm" }
[[fin.stays]]
diameter = "1 mm"
along = "150 mm"
outward = "20 mm"
preload = "8 N"
anchor_turn = "120 deg"
"""
    found = readiness(changed(folder, (TAB, through), name="through.toml"))
    crossing = row(found, FailureMode.STAY_CROSSES_BODY)
    assert crossing.reserve is not None
    assert crossing.reserve.value == 0.0
    assert found.verdict is Verdict.NO_GO


def test_layers_nobody_broke_are_not_known(folder):
    own = '''[[material]]
name = "my PETG"
like = "PETG"
along = "44 MPa +- 3 MPa"
bars = 5

[[part]]
name = "dome"'''
    text = (folder / SHEET).read_text(encoding="utf-8")
    text = text.replace('[[part]]\nname = "dome"', own, 1).replace(
        'material = "PETG"', 'material = "my PETG"'
    )
    path = folder / "own.toml"
    path.write_text(text, encoding="utf-8")
    vehicle = load(path)
    assert sheet_material(vehicle.sheet, "MY petg").ultimate_pa.value == 44e6
    found = answer(vehicle).strength
    unknown = [one for one in found.reserves if one.reserve is None]
    assert any(one.because is Because.LAYERS_UNKNOWN and one.subject == "my PETG" for one in unknown)
    assert np.isnan(found.by_station.reserves).any()


def test_rods_that_end_in_nothing_and_nuts_on_nothing(folder):
    bare = changed(
        folder,
        ('bears_on = { thickness = "3 mm", material = "6061-T6" }', ""),
        ('stations = ["300 mm", "1211 mm"]', 'stations = ["300 mm", "1215 mm"]'),
        name="rods.toml",
    )
    found = readiness(bare)
    assert row(found, FailureMode.ROD_END_UNSAID).reserve is None
    assert row(found, FailureMode.ROD_ENDS_NOWHERE).station_m == pytest.approx(1.215)
    assert found.verdict in (Verdict.NOT_KNOWN, Verdict.NO_GO)


def test_walls_thinner_than_the_nozzle(folder):
    found = readiness(changed(folder, ("bed = [", 'nozzle = "1.8 mm"\nbed = ['), name="nozzle.toml"))
    thin_wall = row(found, FailureMode.PRINT_TOO_THIN)
    assert next(one for one in found.findings if one.key == "print-too-thin").verdict is Verdict.NO_GO
    assert thin_wall.reserve.value == pytest.approx(1.6 / 1.8)


@pytest.mark.parametrize(
    ("old", "new", "field"),
    [
        ('material = "birch plywood", hole', 'material = "cheese", hole', "motor.thrust_plate.material"),
        ('screw = "M4"', 'screw = "M4.7"', "motor.retainer.screw"),
        (
            'cant = "0 deg"',
            'cant = "0 deg"\nstays = [{ diameter = "1 mm", material = "hair", along = "150 mm", '
            'outward = "50 mm", preload = "1 N" }]',
            "fin[1].stays[1].material",
        ),
        (
            '[[item]]\nname = "steel',
            '[[material]]\nname = "my own"\nalong = "40 MPa"\n[[item]]\nname = "steel',
            "material[1].name",
        ),
    ],
)
def test_names_no_table_has_are_faults_with_their_place(folder, old, new, field):
    with pytest.raises(BuildSheetError) as error:
        changed(folder, (old, new), name="names.toml")
    assert [fault.field for fault in error.value.faults] == [field]


def test_a_softer_root_flutters_earlier(folder, look):
    soft = readiness(
        changed(
            folder,
            (TAB, 'fixing = { kind = "fillet", width = "60 mm", depth = "6 mm", glue = "epoxy on print" }'),
            name="soft.toml",
        )
    )
    assert (
        soft.strength_study.fins[0].held.frequencies_hz[0]
        < 0.9 * look.strength_study.fins[0].held.frequencies_hz[0]
    )
    hold = soft.strength_study.fins[0].hold
    assert hold.kind is HoldKind.WALL
    assert "fillets" in hold_words(hold, Shown(us_units=False))
    assert row(soft, FailureMode.FIN_ROOT_LETS_GO).reserve.value > 0.0
    assert not any(one.mode is FailureMode.FIN_ROOT_LETS_GO for one in look.strength_study.reserves)


def test_a_print_of_which_nothing_is_said_is_not_known(folder):
    text = (folder / SHEET).read_text(encoding="utf-8")
    told = 'print = { wall = "1.6 mm", infill = "8 %", layers_along = "z", layer_height = "0.2 mm" }\n'
    path = folder / "untold.toml"
    path.write_text(text.replace(told, "", 2), encoding="utf-8")
    rows = answer(load(path)).strength.reserves
    untold = {row.subject for row in rows if row.because is Because.PRINT_UNSAID}
    assert untold == {"dome", "lantern and gallery"}
