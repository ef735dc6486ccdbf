"""The long look at strength, from a whole sheet."""

import math
import shutil
from pathlib import Path

import numpy as np
import pytest

from finial.assemble.looks.answer import answer
from finial.assemble.strength.study import on_the_ground
from finial.assemble.vehicle.materials import sheet_material
from finial.core.errors import BuildSheetError
from finial.findings.check import load, readiness
from finial.findings.finding import Verdict
from finial.flight.fly import make_ready

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
    """Clear fins of less than half the thickness, tied neither to the body nor to each other."""
    return readiness(changed(folder, ('thickness = "6.5 mm"', 'thickness = "3 mm"')))


def row(look, words):
    return next(one for one in look.strength_study.reserves if words in one.what)


def test_the_example_holds(look):
    assert look.verdict <= Verdict.CAUTION
    assert all(finding.verdict <= Verdict.CAUTION for finding in look.findings)


def test_rows_come_worst_first_and_name_place_case_and_mode(look):
    lows = [-math.inf if one.reserve is None else one.reserve.low for one in look.strength_study.reserves]
    assert lows == sorted(lows)
    for one in look.strength_study.reserves:
        assert one.what
        assert one.case
        assert -0.01 <= one.station_m <= 1.3


def test_every_load_case_of_flight_recovery_and_ground_is_there(look):
    names = " | ".join(case.case for case in look.strength_study.cases)
    for wanted in (
        "max thrust",
        "max speed with a gust",
        "on the rail",
        "thrust stops",
        "charge pushes",
        "opens, pulls",
        "shock cord pulls",
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
    case = next(one for one in look.strength_study.cases if one.case == "lifted at one end")
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
        if one.reserve and not on_the_ground(one.case) and one.what in set(found.what)
    )
    assert float(np.nanmin(found.reserves)) == pytest.approx(lowest)


def test_the_check_itself_carries_reserves_by_station(folder):
    found = answer(load(folder / SHEET)).strength.by_station
    assert found is not None
    assert len(found.stations_m) == len(found.reserves) == len(found.what) > 15


def test_tightened_rods_keep_the_layers_from_being_pulled(look):
    share = next(one for one in look.strength_study.shares if one.case == "shock cord pulls the aft half")
    assert 0.8 < share.rod_share < 0.95
    assert share.pulled_with is None
    assert share.pulled_without is not None


def test_preload_rises_in_the_sun_and_is_less_afterwards(look):
    preload = look.strength_study.preloads[0]
    assert preload.hot_n > preload.tightened_n.value > preload.after_n > 0


def test_thin_clear_fins_fail_and_the_proposed_stays_mend_them(thin):
    fin = thin.strength_study.fins[0]
    assert thin.verdict is Verdict.NO_GO
    assert any(
        "flutter by modes" in one.subject.name and one.verdict is Verdict.NO_GO for one in thin.findings
    )
    assert fin.proposal is not None
    assert fin.proposal.reaches
    assert fin.proposal.after.frequencies_hz[0] > 1.2 * fin.held.frequencies_hz[0]


def test_the_stays_on_the_page_make_it_go(folder, thin):
    tied = """fixing = { kind = "tab", depth = "22 mm" }
[[fin.stays]]
diameter = "0.8 mm"
along = "104 mm"
outward = "111 mm"
preload = "95 N"
anchor_holds = "400 N"
"""
    found = readiness(
        # Thin fins are lighter: it drifts further, and flies in less wind.
        changed(
            folder,
            ('thickness = "6.5 mm"', 'thickness = "3 mm"'),
            (TAB, tied),
            ('wind = "3 m/s +- 1 m/s"', 'wind = "2 m/s +- 1 m/s"'),
            name="tied.toml",
        )
    )
    assert found.verdict is Verdict.CAUTION
    fin = found.strength_study.fins[0]
    assert fin.bare is not None
    assert fin.bare.flutter.value == pytest.approx(thin.strength_study.fins[0].held.flutter.value, rel=1e-3)
    assert fin.held.flutter.low > 1.5 * fin.bare.flutter.high
    assert fin.stays[0].slack_reserve.low > 1.5


def test_wires_between_fins_do_not_cure_flutter(folder, thin):
    ring = """cant = "0 deg"
stays = [ { diameter = "1 mm", along = "150 mm", outward = "160 mm", preload = "80 N", to = "next fin" } ]"""
    found = readiness(
        changed(
            folder, ('thickness = "6.5 mm"', 'thickness = "3 mm"'), ('cant = "0 deg"', ring), name="ring.toml"
        )
    )
    held = found.strength_study.fins[0].held
    assert held.flutter_all_alike is not None
    assert held.flutter_all_alike.value == pytest.approx(
        thin.strength_study.fins[0].held.flutter.value, rel=1e-3
    )
    assert "tie them to the body" in row(found, "flutter by modes").note


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
    crossing = row(found, "passes through the body")
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
    assert any("across" in one.note for one in unknown)
    assert np.isnan(found.by_station.reserves).any()


def test_rods_that_end_in_nothing_and_nuts_on_nothing(folder):
    bare = changed(
        folder,
        ('bears_on = { thickness = "8 mm", material = "birch plywood" }', ""),
        ('stations = ["300 mm", "1200 mm"]', 'stations = ["300 mm", "1215 mm"]'),
        name="rods.toml",
    )
    found = readiness(bare)
    assert row(found, "fore end of the M8 rods").reserve is None
    assert "no part" in row(found, "aft end of the M8 rods").load
    assert found.verdict in (Verdict.NOT_KNOWN, Verdict.NO_GO)


def test_walls_thinner_than_the_nozzle(folder):
    found = readiness(changed(folder, ("bed = [", 'nozzle = "1.8 mm"\nbed = ['), name="nozzle.toml"))
    thin_wall = row(found, "thinner than the nozzle")
    assert thin_wall.reserve.value == pytest.approx(1.6 / 1.8)


@pytest.mark.parametrize(
    ("old", "new", "field"),
    [
        ('material = "birch plywood", hole', 'material = "cheese", hole', "motor.thrust_plate.material"),
        ('screw = "M4"', 'screw = "M4.7"', "motor.retainer.screw"),
        (
            'cant = "0 deg"',
            'cant = "0 deg"\nstays = [{ diameter = "1 mm", material = "hair", along = "1 mm", '
            'outward = "9 mm", preload = "1 N" }]',
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
    assert "fillets" in soft.strength_study.fins[0].hold
    assert row(soft, "root glue").reserve.value > 0.0
    assert not any("root glue" in one.what for one in look.strength_study.reserves)
