"""A part that is still guessed keeps the whole from go, whatever else is weighed."""

import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from finial.assemble.mass.rows import mass_rows
from finial.assemble.start.motors import MotorFits, motor_fits
from finial.assemble.vehicle.fins import fin_sets
from finial.core.estimates import KnownBy
from finial.files.sheet import sheet_from
from finial.files.source import toml_from
from finial.findings.begun import begun
from finial.findings.check import load_begun
from finial.findings.finding import Verdict
from finial.findings.rules.entered_rules import entered_findings, guessed_findings
from finial.inside.drawn import MotorRoom
from finial.report.finding_words import what_to_change

SKERRY = Path(__file__).parents[2] / "examples" / "skerry-light"
PART = """
[vehicle]
name = "Dome"
[[part]]
name = "dome"
mesh = "dome.stl"
mesh_unit = "mm"
material = "PLA"
print = { wall = "1.6 mm", infill = "15 %" }
"""


def sheet_of(folder: Path, text: str):
    shutil.copy(SKERRY / "meshes" / "dome.stl", folder)
    path = folder / "dome.toml"
    path.write_text(text)
    return path


def test_a_guess_is_wide_and_assumed(tmp_path) -> None:
    """Half to twice the walls: at least half as light, and nearly twice as heavy, as the guess itself."""
    known = load_begun(sheet_of(tmp_path, PART))
    [sure] = mass_rows(known, fin_sets(known))
    guessed = load_begun(sheet_of(tmp_path, PART + "guessed = true\n"))
    [row] = mass_rows(guessed, fin_sets(guessed))
    assert row.mass.known_by is KnownBy.ASSUMED
    assert row.mass.value == sure.mass.value
    assert row.mass.low < 0.6 * sure.mass.value
    assert row.mass.high > 1.7 * sure.mass.value


def test_a_scale_goes_before_the_guess_of_the_mass_and_the_walls_stay_guessed(tmp_path) -> None:
    vehicle = load_begun(sheet_of(tmp_path, PART + 'guessed = true\nweighed = "412 g +- 2 g"\n'))
    [row] = mass_rows(vehicle, fin_sets(vehicle))
    assert row.mass.known_by is KnownBy.WEIGHED
    [told] = guessed_findings(vehicle.sheet.part)
    assert told.verdict is Verdict.NOT_KNOWN
    assert told in begun(vehicle).findings


def test_nothing_is_told_where_nothing_is_guessed(tmp_path) -> None:
    assert guessed_findings(load_begun(sheet_of(tmp_path, PART)).sheet.part) == []


def test_of_many_guessed_parts_three_are_named() -> None:
    text = '[vehicle]\nname = "x"\n' + "".join(
        f'[[part]]\nname = "p{n}"\nguessed = true\nmaterial = "PLA"\ntip_station = "{50 * n} mm"\n'
        'tiers = [{ outline = "circle", across = "100 mm", height = "50 mm" }]\n'
        for n in range(5)
    )
    parts = sheet_from(toml_from(Path("x.toml"), text)).sheet.part
    assert [one.subject.name for one in guessed_findings(parts)] == ["p0, p1, p2, p3, p4"]


def steps(fits: MotorFits, files) -> str:
    [motor] = [one for one in entered_findings(files, fits=fits) if one.subject.name == "motor"]
    return what_to_change(motor)


def room(across_m: float, *, is_bore: bool) -> MotorRoom:
    import numpy as np

    clear = [across_m, across_m, across_m / 2]
    return MotorRoom(
        across_m=across_m, is_bore=is_bore, stations_m=np.array([1.0, 0.7, 0.4]), clear_m=np.array(clear)
    )


def test_the_next_step_says_what_goes_in(tmp_path) -> None:
    files = load_begun(sheet_of(tmp_path, PART)).files
    bore = room(0.055, is_bore=True)
    none = MotorFits(room=bore, known=0, fitting=())
    assert steps(none, files).startswith(
        "The bore at the base is 55 mm across and 300 mm deep. Put motors' files"
    )
    some = replace(none, known=5, fitting=("c.toml", "a.toml", "d.toml"))
    assert (
        "3 of the motors in motors/ (5 in all) would go in by their size: c.toml, a.toml, d.toml."
        in steps(some, files)
    )
    assert "None of the motors in motors/ (5 in all) goes in." in steps(replace(none, known=5), files)
    assert "a tube of 27.5 mm goes in 600 mm" in steps(replace(none, room=room(0.055, is_bore=False)), files)
    assert steps(replace(none, room=None), files).startswith("No room for a motor is drawn at the base")


@pytest.mark.parametrize(
    ("across", "length", "fits"),
    [("29 mm", "100 mm", True), ("90 mm", "100 mm", False), ("29 mm", "2 m", False)],
)
def test_a_motor_goes_in_by_diameter_and_length(tmp_path, across: str, length: str, fits: bool) -> None:
    """Skerry Light's motor tube is 60 mm wide and runs 400 mm and more into its base."""
    folder = tmp_path / "light"
    shutil.copytree(SKERRY, folder)
    motor = folder / "motors" / "demo-k500.toml"
    text = "\n".join(
        line
        if line.partition(" ")[0] not in ("diameter", "length")
        else f'{line.partition(" ")[0]} = "{across if line.startswith("diameter") else length}"'
        for line in motor.read_text().splitlines()
    )
    motor.write_text(text)
    found = motor_fits(load_begun(folder / "skerry-light.toml"))
    assert found.known == 1
    assert found.fitting == (("demo-k500.toml",) if fits else ())
