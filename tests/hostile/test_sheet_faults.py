"""Every fault a build sheet can have, made one at a time in a good sheet, with its line and words."""

import os
import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from finial.assemble.vehicle.changes import of_files
from finial.core.errors import BuildSheetError
from finial.files.sheet import read_sheet, sheet_from
from finial.files.source import read_toml
from finial.findings.check import load, readiness
from finial.findings.finding import Verdict
from finial.findings.range_stage import codes_of
from finial.findings.readiness import Depth

EXAMPLE = Path(__file__).parents[1] / "files" / "full_sheet"
SHEET = "lamp.toml"
BUOY = Path(__file__).parents[2] / "examples" / "buoy-tiers" / "buoy-tiers.toml"


@pytest.fixture
def folder(tmp_path):
    return Path(shutil.copytree(EXAMPLE, tmp_path / "project"))


def change(path, old, new):
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")


def line_with(path, text):
    rows = path.read_text(encoding="utf-8").splitlines()
    return next(number for number, row in enumerate(rows, start=1) if text in row)


def faults_of(folder):
    with pytest.raises(BuildSheetError) as caught:
        read_sheet(folder / SHEET)
    return caught.value.faults


def only_fault(folder):
    (fault,) = faults_of(folder)
    return fault


# old text, new text, text on the line the fault must name, field, words of the message
ONE_FAULT = [
    (
        'mass = "110 g +- 2 g"',
        'mass = "110 mm"',
        "110 mm",
        "item[2].mass",
        "'mm' is a length, a mass is wanted",
    ),
    ('wall = "1.2 mm"', "wall = 1.2", "wall = 1.2,", "part[1].print.wall", 'write "1.2 mm"'),
    ('mass = "165 g +- 5 g"', 'mass = "-165 g"', "-165 g", "item[3].mass", "a mass that is not negative"),
    ('station = "470 mm"', 'station = "-470 mm"', "-470", "item[3].station", "a length that is not negative"),
    ('station = "470 mm"', 'station = "nan mm"', "nan mm", "item[3].station", "not a finite number"),
    ('station = "470 mm"', "station = nan", "= nan", "item[3].station", 'such as "12 mm"'),
    ('station = "470 mm"', 'station = "470 MM"', "470 MM", "item[3].station", "did you mean 'mm'?"),
    ('wall = "1.5 mm"', 'wal = "1.5 mm"', "wal =", "recovery.bay[1].wal", "did you mean wall?"),
    (
        'layer_height = "0.2 mm"',
        'layer_height = "2 mm"',
        "layer_height",
        "part[1].print.layer_height",
        "at most 1 mm",
    ),
    ("[limits] ", "[limit] ", "[limit]", "limit", "did you mean limits?"),
    (
        'name = "bay tube"\nmass = "165 g +- 5 g"',
        'name = "bay tube"',
        "[[item]]",
        "item[3].mass",
        "a mass",
    ),
    ('edges = "square"', 'edges = "squar"', '"squar"', "fin[1].edges", 'did you mean "square"?'),
    ('up = "+z"', 'up = "z"', 'up = "z"', "vehicle.up", '"+x", "+y", "+z"'),
    (
        'known_by = "assumed"',
        'known_by = "guess"',
        "guess",
        "item[6].known_by",
        "weighed, measured, computed",
    ),
    ("round_tube = true", 'round_tube = "yes"', "round_tube", "recovery.bay[1].round_tube", "true or false"),
    ("count = 4\non_circle", 'count = "4"\non_circle', 'count = "4"', "rod[1].count", "a whole number"),
    ("count = 4\non_circle", "count = 0\non_circle", "count = 0", "rod[1].count", "at least 1"),
    (
        "count = 4\non_circle",
        'slip = "1 mm"\ncount = 4\non_circle',
        'slip = "1 mm"',
        "rod[1].slip",
        "preload of rods that are tightened, or slip of those that are not",
    ),
    ('["620 mm", "1170 mm"]', '"620 mm"', '= "620 mm"', "guide.buttons", "a list in square brackets"),
    (
        '["0 mm", "0 mm"]  # across',
        '["0 mm"]  # across',
        "# across",
        "item[4].offset",
        "a list of at least 2",
    ),
    (
        '["300 mm", "1192 mm"]',
        '["1192 mm", "300 mm"]',
        '"1192 mm"',
        "rod[1].stations",
        "the forward station first",
    ),
    ('infill = "8 %"', 'infill = "800 %"', "800 %", "part[1].print.infill", "at most 1"),
    ('tilt = "3 deg"', 'tilt = "93 deg"', "93 deg", "launch.tilt", "at most 89 deg"),
    ('pressure = "985 hPa"', 'pressure = "985 kPa"', "985 kPa", "launch.pressure", "at most 110 kPa"),
    ("[[item]]", "[item2]", "[item2]", "item2", "did you mean item?"),
    ('layout = "single"', "layout = 3", "layout = 3", "launch.layout", '"single", "complex"'),
    ('name = "dome"', "name = 3", "name = 3", "part[1].name", "text in quotes"),
    ('name = "dome"', 'name = ""', 'name = ""', "part[1].name", "not empty"),
    (
        'event = "apogee"\ndelay',
        'event = "apogy"\ndelay',
        "apogy",
        "recovery.canopy[1].event",
        "falling_through",
    ),
    (
        'event = "apogee"\ndelay',
        "event = {}\ndelay",
        "event = {}",
        "recovery.canopy[1].event",
        "after_lift_off",
    ),
    (
        'event = "apogee"\ndelay',
        'event = { falling_through = "200 s" }\ndelay',
        "200 s",
        "recovery.canopy[1].event.falling_through",
        "'s' is a time, a length is wanted",
    ),
    (
        'name = "dome"\nmesh = "meshes/dome.stl"\nmesh_unit = "mm"',
        'name = "dome"\nmesh = "meshes/dome.stl"',
        'mesh = "meshes/dome.stl"',
        "part[1].mesh",
        "STL files carry no unit",
    ),
    (
        'name = "dome"\nmesh = "meshes/dome.stl"\nmesh_unit = "mm"',
        'name = "dome"',
        "[[part]]",
        "part[1]",
        "neither mesh nor tiers",
    ),
    (
        'name = "dome"',
        'name = "dome"\ntiers = [{ outline = "circle", across = "60 mm", height = "40 mm" }]',
        "[[part]]",
        "part[1]",
        "both mesh and tiers",
    ),
    (
        'name = "dome"',
        'name = "dome"\ntip_station = "0 mm"',
        "tip_station",
        "part[1].tip_station",
        "beside tiers",
    ),
    ("meshes/dome.stl", "meshes/dme.stl", "dme.stl", "part[1].mesh", 'did you mean "meshes/dome.stl"?'),
    ("meshes/dome.stl", "meshes/dome.exe", "dome.exe", "part[1].mesh", "a file ending in .stl"),
    ("meshes/dome.stl", "/etc/dome.stl", "/etc/dome.stl", "part[1].mesh", "it is an absolute path"),
    ("meshes/dome.stl", "C:/dome.stl", "C:/dome.stl", "part[1].mesh", "it is an absolute path"),
    ("meshes/dome.stl", "meshes\\\\dome.stl", "dome.stl", "part[1].mesh", 'write "/" between folders'),
    ("meshes/dome.stl", "../dome.stl", "../dome.stl", "part[1].mesh", "it leaves the folder"),
    ("meshes/dome.stl", "meshes/a\\u0000.stl", "u0000", "part[1].mesh", "nothing that is not printed"),
    ("motors/demo-k500.toml", "motors/none.toml", "none.toml", "motor.data", "a file that is there"),
    ('site = "site.toml"', 'site = "../site.toml"', "../site.toml", "launch.site", "it leaves the folder"),
    (
        'name = "upper tower"',
        'name = "dome"',
        'name = "dome"',
        "part[3].name",
        "a second time (first on line",
    ),
    ('name = "bay tube"', 'name = "dome"', 'name = "dome"', "part[1].name", "a name of its own"),
    ('name = "bay tube"', 'name = "motor tube"', "motor tube", "item[3].name", "a name of its own"),
    (
        'joint = "lantern joint"\nstations',
        'joint = "l joint"\nstations',
        "l joint",
        "recovery.bay[1].joint",
        "a joint",
    ),
    (
        'battery = "battery B"',
        'battery = "battery C"',
        "battery C",
        "electronics.computer[2].battery",
        "a battery",
    ),
    (
        'switch = "switch B"',
        'switch = "swich B"',
        "swich B",
        "electronics.computer[2].switch",
        'did you mean "switch',
    ),
    ('computer = "computer B"', 'computer = "C"', '= "C"', "electronics.igniter[2].computer", '"computer A"'),
    (
        'fires = "lantern backup',
        'fires = "lantern bak',
        "lantern bak",
        "electronics.igniter[2].fires",
        "of a charge",
    ),
    (
        'backup_of = "lantern charge"',
        'backup_of = "x"',
        'backup_of = "x"',
        "recovery.charge[2].backup_of",
        "a charge",
    ),
]


@pytest.mark.parametrize(("old", "new", "on_line", "field", "words"), ONE_FAULT, ids=lambda text: text[:24])
def test_one_fault_is_found_with_line_field_and_words(folder, old, new, on_line, field, words):
    change(folder / SHEET, old, new)
    fault = next(fault for fault in faults_of(folder) if fault.field == field)
    rows = (folder / SHEET).read_text(encoding="utf-8").splitlines()
    assert fault.line is not None
    assert on_line in rows[fault.line - 1]
    assert words in str(fault)
    assert fault.file == str(folder / SHEET)


def test_the_example_itself_is_without_fault(folder):
    assert read_sheet(folder / SHEET).sheet.vehicle.name == "Test Lamp"


def test_all_faults_come_at_once_sorted_by_line(folder):
    for old, new in [
        ('up = "+z"', 'up = "up"'),
        ('mass = "110 g +- 2 g"', "mass = 110"),
        ('battery = "battery B"', 'battery = "battery C"'),
        ("[limits] ", "[limit] "),
    ]:
        change(folder / SHEET, old, new)
    change(folder / "motors/demo-k500.toml", '"1.48 kg"', '"1.48 m"')
    change(folder / "motors/demo-k500.csv", "0.20, 585", "0.05, 585")
    change(folder / "site.toml", '"240 m"', '"240 kg"')
    faults = faults_of(folder)
    assert [fault.field for fault in faults] == [
        "vehicle.up",
        "item[2].mass",
        "electronics.computer[2].battery",
        "limit",
        "loaded_mass",
        "thrust curve",
        "ground_asl",
    ]
    lines = [fault.line for fault in faults[:4]]
    assert lines == sorted(lines)


def test_a_misspelt_required_key_is_one_fault_not_two(folder):
    change(folder / SHEET, 'thickness = "5 mm"', 'thicknes = "5 mm"')
    assert only_fault(folder).likely_slip == "did you mean thickness?"


def test_a_sheet_without_parts_says_so(folder):
    text = (folder / SHEET).read_text(encoding="utf-8")
    start, stop = text.index("[[part]]"), text.index("[[item]]")
    (folder / SHEET).write_text(text[:start] + text[stop:], encoding="utf-8")
    assert only_fault(folder).given == "no part"


def test_one_bracket_instead_of_two_is_explained(folder):
    text = (folder / SHEET).read_text(encoding="utf-8")
    (folder / SHEET).write_text(text.replace("[[rod]]", "[rod]"), encoding="utf-8")
    fault = only_fault(folder)
    assert (fault.given, fault.accepted) == ("one table [rod]", "a list of tables [[rod]]")


def test_a_link_out_of_the_folder_is_refused(folder, tmp_path):
    outside = tmp_path / "secret.stl"
    outside.write_bytes(b"solid")
    (folder / "meshes/dome.stl").unlink()
    (folder / "meshes/dome.stl").symlink_to(outside)
    assert "perhaps through a link" in only_fault(folder).likely_slip


def test_a_linked_folder_on_the_way_is_refused_too(folder, tmp_path):
    (folder / "meshes").rename(tmp_path / "elsewhere")
    (folder / "meshes").symlink_to(tmp_path / "elsewhere")
    assert all("perhaps through a link" in fault.likely_slip for fault in faults_of(folder))


def test_a_sheet_may_itself_be_reached_through_a_link(folder, tmp_path):
    (tmp_path / "link").symlink_to(folder)
    assert read_sheet(tmp_path / "link" / SHEET).sheet.vehicle.name == "Test Lamp"


def test_the_curve_of_a_motor_may_not_leave_the_sheets_folder(folder):
    change(folder / "motors/demo-k500.toml", '"demo-k500.csv"', '"../../demo-k500.csv"')
    assert "it leaves the folder" in only_fault(folder).likely_slip


@pytest.mark.parametrize(
    ("content", "line", "words"),
    [
        (b'[vehicle]\nname = "x\n', 2, "illegal character"),
        (b'[vehicle]\nname = "x"\nmass = 412 g\n', 3, 'a quantity is written in quotes: "412 g"'),
        (b"[vehicle]\nname = 'a'\nname = 'b'\n", 3, "cannot overwrite a value"),
        (b"[vehicle\n", 1, "[vehicle"),
        (b"a = " + b"[" * 3000, 1, ""),
    ],
)
def test_toml_that_does_not_parse_names_its_line(tmp_path, content, line, words):
    (tmp_path / SHEET).write_bytes(content)
    fault = only_fault(tmp_path)
    assert words in str(fault)
    assert fault.line in (line, None)


@pytest.mark.parametrize("content", [b"\xff\xfe[\x00v\x00", b"\x89PNG\r\n\x1a\n", b"name = '\xe4'\n"])
def test_a_file_that_is_not_utf8_is_refused(tmp_path, content):
    (tmp_path / SHEET).write_bytes(content)
    assert "is not UTF-8 text" in only_fault(tmp_path).given


def test_a_missing_sheet_a_folder_and_a_pipe_are_refused(tmp_path):
    assert only_fault(tmp_path).given == "no such file"
    (tmp_path / SHEET).mkdir()
    assert only_fault(tmp_path).given == "a folder"
    (tmp_path / SHEET).rmdir()
    os.mkfifo(tmp_path / SHEET)
    assert only_fault(tmp_path).given == "no such file"


def test_a_huge_sheet_is_refused_before_it_is_read(tmp_path):
    with (tmp_path / SHEET).open("wb") as stream:
        stream.truncate(9_000_000)
    assert only_fault(tmp_path).given == "9 MB"


@pytest.mark.parametrize(
    "content",
    [
        "",
        "part = 3\n",
        "part = [1, 2]\n",
        "recovery = []\n",
        "[recovery]\ncanopy = { bay = [] }\n",
        "motor = 'x'\n",
    ],
)
def test_sheets_of_the_wrong_build_are_faults_not_crashes(tmp_path, content):
    (tmp_path / SHEET).write_text(content)
    assert {"vehicle"} <= {fault.field for fault in faults_of(tmp_path)}


def test_charges_that_stand_in_for_one_another_are_told_so(folder):
    sheet = folder / SHEET
    change(sheet, 'backup_of = "lantern charge"', 'backup_of = "lantern backup charge"')
    fault = only_fault(folder)
    assert fault.given == '"lantern backup charge" is the backup of "lantern backup charge"'
    assert fault.line == line_with(sheet, "backup_of")
    assert "backup of none" in fault.accepted


def test_a_circle_of_backups_names_every_charge_in_it(folder):
    sheet = folder / SHEET
    change(sheet, 'backup_of = "lantern charge"', 'backup_of = "third"')
    third = '[[recovery.charge]]\nname = "third"\nbay = "lantern bay"\npowder = "1 g"\nevent = "apogee"\n'
    text = sheet.read_text(encoding="utf-8")
    at = text.index("[[recovery.charge]]")
    sheet.write_text(
        text[:at] + third + 'backup_of = "lantern backup charge"\n\n' + text[at:], encoding="utf-8"
    )
    first, second = faults_of(folder)
    assert '"third" is the backup of "lantern backup charge" is the backup of "third"' in (
        first.given,
        second.given,
    )


@pytest.mark.parametrize(
    ("arming", "given", "accepted"),
    [
        ('switches = [["switch A"], ["pin"]]', '"pin"', "the name of a switch"),
        ('switches = [["switch A"], ["switch A"]]', "a loop through one switch", "each switch once"),
        ("switches = [[]]", "an empty group of switches", "a switch each"),
        ('switch = "switch A"\nswitches = [["switch A"]]', "both switch and switches", "one of them"),
    ],
)
def test_arming_that_leads_nowhere_is_told(folder, arming, given, accepted):
    change(folder / SHEET, 'switch = "switch A"', arming)
    fault = only_fault(folder)
    assert fault.given.endswith(given)
    assert accepted in fault.accepted


def test_an_igniter_that_says_nothing_of_its_resistance_is_told(folder):
    change(folder / SHEET, 'resistance = "1.5 ohm"\n', "")
    fault = only_fault(folder)
    assert fault.given == "neither resistance nor kind"
    assert 'kind = "electric match"' in fault.accepted


@pytest.mark.parametrize("table", ["motor", "launch"])
def test_a_flight_of_a_sheet_without_motor_or_launch_is_refused(table):
    buoy = load(BUOY)
    source = read_toml(BUOY)
    values = {key: value for key, value in source.values.items() if key != table}
    begun = of_files(buoy, sheet_from(replace(source, values=values)), codes_of)
    with pytest.raises(BuildSheetError) as caught:
        readiness(begun, depth=Depth.QUICK)
    assert {fault.field for fault in caught.value.faults} == {table}


def test_ballast_as_heavy_as_a_mountain_is_answered_and_never_goes():
    source = read_toml(BUOY)
    heavy = {**source.values, "item": [{**source.values["item"][0], "mass": "1e12 g"}]}
    found = readiness(
        of_files(load(BUOY), sheet_from(replace(source, values=heavy)), codes_of), depth=Depth.QUICK
    )
    assert found.verdict is Verdict.NO_GO
    assert any(one.key == "lost-flight" for one in found.findings if one.verdict is Verdict.NO_GO)
