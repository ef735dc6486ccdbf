"""What a good sheet says, as records in SI."""

import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from pydantic import ValidationError

from finial.core.errors import BuildSheetError
from finial.core.estimates import KnownBy
from finial.files.sheet import LoadedSheet, read_sheet
from finial.files.sheet_body import TierEntry
from finial.files.sheet_day import LimitsEntry
from finial.files.sheet_recovery import EventEntry

EXAMPLES = Path(__file__).parents[2] / "examples"
LAMP = Path(__file__).with_name("full_sheet") / "lamp.toml"


@pytest.fixture(scope="module")
def lamp() -> LoadedSheet:
    return read_sheet(LAMP)


@pytest.mark.parametrize("folder", sorted(path.parent for path in EXAMPLES.glob("*/site.toml")))
def test_every_example_reads(folder):
    assert read_sheet(folder / f"{folder.name}.toml").sheet.part


def test_body_is_read_in_si(lamp):
    sheet = lamp.sheet
    assert (sheet.vehicle.up, sheet.vehicle.us_units) == ("+z", False)
    dome = sheet.part[0]
    assert (dome.name, dome.mesh, dome.mesh_unit, dome.outside) == ("dome", "meshes/dome.stl", "mm", True)
    assert (dome.print.wall.value, dome.print.infill.value, dome.print.layers_along) == (0.0012, 0.08, "z")
    assert (dome.weighed.value, dome.weighed.tolerance) == (0.214, 0.002)
    ballast = sheet.item[0]
    assert (ballast.mass.value, ballast.mass.tolerance, ballast.station.value) == (0.94, 0.010, 0.104)
    assert ballast.known_by is KnownBy.WEIGHED
    assert [side.value for side in ballast.offset] == [0.0, 0.0]
    rod = sheet.rod[0]
    assert (rod.count, rod.on_circle.value, rod.preload.value) == (4, 0.090, 400.0)
    assert [station.value for station in rod.stations] == [0.3, 1.192]
    fin = sheet.fin[0]
    assert [[side.value for side in point] for point in fin.outline[:2]] == [[0, 0], [0.11, 0.165]]
    assert fin.root is None
    assert [side.value for side in sheet.print.bed] == [0.3, 0.3, 0.34]


def test_recovery_and_electronics_are_read(lamp):
    recovery = lamp.sheet.recovery
    assert (recovery.joint[0].pins.screw, recovery.joint[0].pins.count) == ("M2.5 nylon", 2)
    assert recovery.bay[0].round_tube is True
    assert recovery.bay[0].free_volume.value == pytest.approx(1.2e-3)
    canopy = recovery.canopy[0]
    assert (canopy.event.words, canopy.delay.value, canopy.drag_coefficient.tolerance) == (
        "apogee",
        0.5,
        0.08,
    )
    assert recovery.cord[0].knot_keeps.value == 0.6
    assert recovery.charge[1].backup_of == "lantern charge"
    electronics = lamp.sheet.electronics
    assert [igniter.all_fire.value for igniter in electronics.igniter] == [1.0, 1.0]
    assert electronics.battery[0].capacity.value == 1800.0


def test_the_day_motor_and_site_are_read(lamp):
    launch = lamp.sheet.launch
    assert (launch.wind.value, launch.wind.tolerance, launch.pressure.value) == (4.0, 2.0, 98_500.0)
    assert (launch.temperature.value, launch.temperature.tolerance) == (295.15, 5.0)
    assert lamp.sheet.limits.own == {"rail_exit_speed": 15.0, "margin_widths": 1.0, "landing_speed": 6.0}
    assert lamp.motor.name == "Demo K500"
    assert lamp.site.ground_asl.value == 240.0
    assert lamp.mesh_path(lamp.sheet.part[0]).is_file()


def test_what_was_left_out_is_none_not_a_guess(tmp_path):
    folder = Path(shutil.copytree(LAMP.parent, tmp_path / "project"))
    rows = LAMP.read_text(encoding="utf-8").splitlines()
    dropped = (
        "all_fire",
        "wiring_resistance",
        "pressure",
        "powder",
        "bed",
        "[print]",
        "weighed",
        "drag_coefficient",
    )
    (folder / LAMP.name).write_text(
        "\n".join(row for row in rows if not row.startswith(dropped)), encoding="utf-8"
    )
    sheet = read_sheet(folder / LAMP.name).sheet
    assert sheet.electronics.igniter[0].all_fire is None
    assert sheet.electronics.igniter[0].wiring_resistance is None
    assert sheet.launch.pressure is None
    assert sheet.recovery.charge[0].powder is None
    assert sheet.recovery.canopy[0].drag_coefficient is None
    assert sheet.part[0].weighed is None
    assert sheet.print is None


def test_tiers_know_their_sides():
    outlines = ["circle", "triangle", "square", "hexagon", "octagon", "12-gon", "3-gon"]
    tiers = [
        TierEntry.model_validate({"outline": outline, "across": "1 cm", "height": "2 cm"})
        for outline in outlines
    ]
    assert [tier.sides for tier in tiers] == [0, 3, 4, 6, 8, 12, 3]
    assert (tiers[0].across.value, tiers[0].across_top, tiers[0].roof) == (0.01, None, None)


def test_keys_of_a_drawing_among_tiers_are_told_where_they_go_and_their_list_is_not_called_empty(tmp_path):
    sheet = tmp_path / "tower.toml"
    sheet.write_text(
        '[vehicle]\nname = "T"\n[[part]]\nname = "tower"\nmaterial = "PETG"\n'
        'tiers = [{ outline = "square", across = "9 cm", height = "9 cm", twist = "5 deg", acros = "1 m" }]\n'
    )
    with pytest.raises(BuildSheetError) as refused:
        read_sheet(sheet)
    slips = {fault.field: fault.likely_slip for fault in refused.value.faults}
    assert set(slips) == {"part[1].tiers[1].twist", "part[1].tiers[1].acros"}
    assert "finial tower" in slips["part[1].tiers[1].twist"]
    assert slips["part[1].tiers[1].acros"] == "did you mean across?"
    sheet.write_text('[vehicle]\nname = "T"\n[[part]]\nname = "t"\nmaterial = "PETG"\ntiers = []\n')
    with pytest.raises(BuildSheetError, match="at least 1 entries"):
        read_sheet(sheet)


@pytest.mark.parametrize("outline", ["blob", "2-gon", "gon", "1000-gon"])
def test_outlines_that_are_no_polygon_are_refused(outline):
    with pytest.raises(ValidationError, match="a number of sides such as"):
        TierEntry.model_validate({"outline": outline, "across": "1 mm", "height": "1 mm"})


@pytest.mark.parametrize(
    ("written", "words", "apogee"),
    [
        ("apogee", "apogee", True),
        ({"falling_through": "200 m"}, "falling through 200 m", False),
        ({"after_lift_off": "12 s"}, "12 s after lift-off", False),
    ],
)
def test_events_in_their_three_forms(written, words, apogee):
    event = EventEntry.model_validate(written)
    assert (event.words, event.apogee) == (words, apogee)


@pytest.mark.parametrize(
    "written", ["landing", {}, 3, {"falling_through": "200 m", "after_lift_off": "1 s"}, {"apogee": False}]
)
def test_events_of_no_form_are_refused(written):
    with pytest.raises(ValidationError, match="falling_through"):
        EventEntry.model_validate(written)


def test_every_shipped_limit_may_be_set_in_a_sheet():
    from finial.core.tables import table_rows

    shipped = {row["name"] for row in table_rows("finial.findings", "limits.csv")}
    assert shipped == set(LimitsEntry.model_fields)


def test_records_are_frozen(lamp):
    with pytest.raises(ValidationError, match="frozen"):
        lamp.sheet.vehicle.name = "other"


def test_reading_a_sheet_loads_no_mesh_library_and_no_solver():
    code = (
        "import sys; from pathlib import Path; from finial.files.sheet import read_sheet;"
        f"read_sheet(Path({str(LAMP)!r}));"
        "print(sorted({'trimesh', 'scipy', 'numba', 'shapely', 'rich'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_own_limits_come_in_one_order_whatever_the_hash_seed(lamp):
    own = lamp.sheet.limits.model_copy(update={"reserve": lamp.sheet.limits.margin_widths}).own
    assert len(own) > 1
    assert list(own) == sorted(own)
