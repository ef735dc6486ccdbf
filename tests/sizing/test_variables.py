"""What a search may change: by the very levers of advice and mending, each in its place of the sheet."""

import shutil
from pathlib import Path

import pytest

from finial.assemble.vehicle.changes import changed
from finial.assemble.vehicle.pulls import pulls_of
from finial.assemble.vehicle.tweak import TweakKind
from finial.cli.vary_option import variables_of
from finial.core.errors import BuildSheetError, MissingData, OutsideRange
from finial.findings import design_judge
from finial.findings.check import load
from finial.findings.design_judge import judge_design, vehicle_hash
from finial.findings.rules.motor_rules import SLIDES_IN
from finial.sizing.motors import motor_choice, motors_named
from finial.sizing.variables import Variable, changing, choosing

BUOY = Path(__file__).parents[2] / "examples" / "buoy-tiers"


def variable(kind, name, low=0.5, high=900.0):
    return Variable(kind=kind, name=name, low=low, high=high)


@pytest.mark.parametrize(
    ("kind", "pull", "value"),
    [
        ("walls", TweakKind.WALLS, 1.25),
        ("walls", TweakKind.WALLS, 0.8),
        ("preload", TweakKind.PRELOAD, 615.0),
        ("charge", TweakKind.CHARGE, 1.35),
    ],
)
def test_a_lever_writes_what_the_pull_of_mending_writes(lighthouse, kind, pull, value):
    for one in (one for one in pulls_of(lighthouse) if one.kind is pull):
        written = changing(lighthouse, [variable(kind, one.name)])([value])
        assert written == one.changes(value)
        assert changed(lighthouse, written).sheet != lighthouse.sheet


def test_values_are_steps_a_builder_can_make(lighthouse):
    bay, rods = lighthouse.sheet.recovery.bay[0].name, lighthouse.sheet.rod[0].thread
    varied = [variable("walls", ""), variable("preload", rods), variable("charge", bay)]
    written = changing(lighthouse, varied)
    assert written([1.26, 617.0, 0.83]) == written([1.25, 615.0, 0.85])
    assert written([1.26, 617.0, 0.83]) != written([1.3, 620.0, 0.8])
    powder = next(one.changes for one in pulls_of(lighthouse) if one.kind is TweakKind.CHARGE)
    assert powder(0.85).items() <= written([1.0, 500.0, 0.83]).items()


def test_the_thread_of_rods_is_chosen(lighthouse):
    rods = lighthouse.sheet.rod[0].thread
    written = changing(lighthouse, [choosing("thread", rods, ["M6", "M8"])])
    assert [written([value]) for value in (0.0, 1.0)] == [
        {("rod", 0, "thread"): "M6"},
        {("rod", 0, "thread"): "M8"},
    ]
    light, heavy = (judge_design(lighthouse, written([value])).mass_kg for value in (0.0, 1.0))
    assert light < heavy


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        (variable("walls", "spire"), 'no walls "spire" to change: it has ""'),
        (variable("charge", "boot"), 'no charge "boot" to change: it has "lantern bay"'),
        (variable("preload", "M3"), 'no preload "M3" to change: it has "M8"'),
        (choosing("thread", "M3", ["M6", "M8"]), 'no rod "M3": it has "M8"'),
    ],
)
def test_names_that_the_sheet_has_not_are_refused_with_those_it_has(lighthouse, asked, words):
    with pytest.raises(MissingData, match=words):
        changing(lighthouse, [asked])


def test_two_levers_at_the_same_thing_are_refused(lighthouse):
    piece = next(one.name for one in pulls_of(lighthouse) if one.kind is TweakKind.WALLS and one.name)
    with pytest.raises(OutsideRange, match=f"walls and walls {piece} change the same thing"):
        changing(lighthouse, [variable("walls", ""), variable("rail", ""), variable("walls", piece)])


def test_a_choice_draws_each_as_often_and_stays_inside():
    three = choosing("thread", "rods", ["M5", "M6", "M8"])
    assert three.ends == (-0.5, 2.5)
    assert [three.rounded(one) for one in (-0.5, 0.49, 0.51, 2.5)] == [0.0, 0.0, 1.0, 2.0]
    assert three.at(2.0) == "M8"
    for choices in (["M5"], ["M5", "M5"]):
        with pytest.raises(OutsideRange):
            choosing("thread", "rods", choices)
    with pytest.raises(OutsideRange):
        variable("thread", "rods")
    with pytest.raises(OutsideRange):
        Variable(kind="rail", name="", low=0.0, high=1.0, choices=("short", "long"))


@pytest.fixture(scope="module")
def buoy(tmp_path_factory):
    """The buoy with three more motors: a weaker one, a wider one, and one from elsewhere."""
    folder = tmp_path_factory.mktemp("motors") / "buoy"
    shutil.copytree(BUOY, folder)
    data = (folder / "motors" / "demo-k500.toml").read_text().replace('claimed_impulse = "1500 N s"\n', "")
    for name, loaded, wide in (("weak", "1.31 kg", "54 mm"), ("wide", "1.6 kg", "75 mm")):
        told = data.replace("1.48 kg", loaded).replace("54 mm", wide).replace("Demo K500", name)
        (folder / "motors" / f"{name}.toml").write_text(told.replace("demo-k500.csv", f"{name}.csv"))
        share = {"weak": 0.9, "wide": 1.2}[name]
        rows = (folder / "motors" / "demo-k500.csv").read_text().splitlines()
        curve = [row.split(",") for row in rows if not row.startswith("#")]
        lines = [f"{time}, {float(thrust) * share}" for time, thrust in curve]
        (folder / "motors" / f"{name}.csv").write_text("\n".join([*rows[:1], *lines]) + "\n")
    return load(folder / "buoy-tiers.toml")


@pytest.fixture(scope="module")
def motors(buoy):
    beside = buoy.files.path.parent
    choice = motor_choice(Path("motors"), beside)
    return choice, motors_named([choice], beside)


def test_motors_stand_by_their_impulse_named_as_the_sheet_names_its_own(buoy, motors):
    choice, read = motors
    assert choice.choices == ("motors/weak.toml", "motors/demo-k500.toml", "motors/wide.toml")
    assert read.keys() == set(choice.choices)
    assert buoy.sheet.motor.data in choice.choices
    assert changing(buoy, [choice])([2.0]) == {("motor", "data"): "motors/wide.toml"}


def test_a_design_is_judged_with_the_motor_that_it_names(buoy, motors):
    choice, read = motors
    written = changing(buoy, [choice])
    weak, own = (judge_design(buoy, written([value]), read) for value in (0.0, 1.0))
    assert own == judge_design(buoy, {})
    assert own.mass_kg - weak.mass_kg == pytest.approx(1.48 - 1.31)
    assert weak.apogee_m < own.apogee_m


def test_a_motor_that_does_not_go_into_the_mount_is_never_a_go(buoy, motors, monkeypatch):
    """Without a drawn tube nobody else looks: its size is held against the motor of today."""
    bare = changed(buoy, {("motor", "mount"): None})
    assert bare.sheet.motor.takes is None
    choice, read = motors
    written = changing(bare, [choice])
    own, wide = (judge_design(bare, written([value]), read) for value in (1.0, 2.0))
    assert not wide.is_go
    monkeypatch.setattr(design_judge, "misfits", lambda _vehicle, _motor: ())
    unasked = judge_design(bare, written([2.0]), read)
    assert wide.missing - unasked.missing == pytest.approx(75.0 / (54.0 * SLIDES_IN) - 1.0)
    assert judge_design(bare, written([1.0]), read) == own


def test_searches_with_other_motors_are_other_searches(buoy, motors):
    _, read = motors
    some = {name: one for name, one in read.items() if "wide" not in name}
    assert len({vehicle_hash(buoy, one) for one in ({}, some, read)}) == 3


def test_motors_elsewhere_alone_or_damaged_are_refused(buoy, tmp_path):
    beside = buoy.files.path.parent
    with pytest.raises(BuildSheetError, match="beside or below the sheet"):
        motor_choice(tmp_path, beside)
    alone = beside / "alone"
    alone.mkdir()
    for name in ("weak.toml", "weak.csv"):
        shutil.copy(beside / "motors" / name, alone)
    with pytest.raises(OutsideRange, match="two or more"):
        motor_choice(Path("alone"), beside)
    (alone / "torn.toml").write_text('name = "torn"\n')
    with pytest.raises(BuildSheetError, match=r"torn\.toml"):
        motor_choice(Path("alone"), beside)


def test_a_cluster_of_two_kinds_has_no_motor_to_choose(buoy, motors):
    more = {"data": "motors/weak.toml", "offset": ["60 mm", "0 mm"]}
    mixed = changed(buoy, {("motor", "more"): [more]})
    with pytest.raises(MissingData, match="data of its own"):
        changing(mixed, [motors[0]])


@pytest.mark.parametrize(
    ("written", "low", "high"),
    [
        ("walls::0.8:150 %", 0.8, 1.5),
        ("preload:M8:20 N:0.9 kN", 20.0, 900.0),
        ("charge:bay:0.7:1.5", 0.7, 1.5),
    ],
)
def test_vary_reads_the_new_levers_each_in_its_own_unit(written, low, high):
    (found,) = variables_of((written,))
    assert (found.low, found.high) == pytest.approx((low, high))


def test_vary_reads_what_is_chosen(buoy):
    beside = buoy.files.path.parent
    thread, motor = variables_of(("thread:rods:M6, M8", "motor:motors"), beside)
    assert (thread.name, thread.choices) == ("rods", ("M6", "M8"))
    assert motor.choices[0] == "motors/weak.toml"
