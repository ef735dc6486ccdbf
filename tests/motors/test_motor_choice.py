"""Claims against curves, and a folder of motors tried in a vehicle."""

import json
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from finial.core.errors import BuildSheetError, OutsideRange
from finial.files.motor_folder import read_motors
from finial.files.thrust_curve import read_thrust_curve
from finial.motors.claims import Claims, claim_checks
from finial.motors.motor import Motor

SHEET = Path(__file__).parents[2] / "examples" / "buoy-tiers" / "buoy-tiers.toml"


def trapezoid():
    """690.0 N s, 1.9725 s, 349.8 N, class J: calculated from the definitions of NFPA 1125."""
    return Motor(
        name="trapezoid",
        diameter_m=0.054,
        length_m=0.3,
        loaded_mass_kg=0.8,
        propellant_mass_kg=0.35,
        times_s=np.array([0.0, 0.05, 1.5, 2.0]),
        thrusts_n=np.array([0.0, 400.0, 400.0, 0.0]),
    )


@pytest.mark.parametrize(
    ("claims", "agrees"),
    [
        ({"impulse_n_s": 700.0}, True),
        ({"impulse_n_s": 760.0}, False),
        ({"average_thrust_n": 330.0}, True),
        ({"average_thrust_n": 500.0}, False),
        ({"burn_time_s": 1.9725}, True),
        ({"burn_time_s": 3.0}, False),
        ({"letter": " j "}, True),
        ({"letter": "K"}, False),
        # 690 N s less 5 % is still above 640 N s, where J begins.
        ({"letter": "I"}, False),
    ],
)
def test_claims_against_the_trapezoid(claims, agrees):
    (check,) = claim_checks(trapezoid(), Claims(**claims))
    assert check.agrees is agrees


def test_nothing_claimed_is_nothing_checked():
    assert claim_checks(trapezoid(), Claims()) == ()


def test_a_claim_of_nothing_is_refused():
    with pytest.raises(OutsideRange, match="above 0"):
        claim_checks(trapezoid(), Claims(impulse_n_s=0.0))


def test_thrust_with_a_gap_is_refused(tmp_path):
    path = tmp_path / "gap.csv"
    path.write_text("0 0\n0.1 400\n0.5 0\n0.9 0\n1.0 380\n1.5 0\n")
    with pytest.raises(BuildSheetError, match=r"no thrust from 0.5 s to 0.9 s"):
        read_thrust_curve(path)


def _motor(folder, name, *, thrust=500.0, burn=3.0, diameter="54 mm", extra=""):
    impulse = thrust * burn
    (folder / f"{name}.csv").write_text(f"0 0\n0.05 {thrust}\n{burn} {thrust}\n{burn + 0.05} 0\n")
    (folder / f"{name}.toml").write_text(
        f'name = "{name}"\nnote = "An invented motor; no maker sells it."\ncurve = "{name}.csv"\n'
        f'diameter = "{diameter}"\nlength = "400 mm"\nloaded_mass = "{0.5 + impulse / 1500:.3f} kg"\n'
        f'propellant_mass = "{impulse / 2000:.3f} kg"\n{extra}'
    )


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    path = tmp_path_factory.mktemp("motors")
    _motor(path, "usual", extra='claimed_letter = "K"\nclaimed_burn_time = "3.05 s"\n')
    _motor(path, "weak", thrust=120.0, burn=2.0)
    _motor(path, "thick", diameter="75 mm")
    _motor(path, "fierce", thrust=2500.0, burn=0.6)
    (path / "broken.toml").write_text('name = "broken"\n')
    return path


def test_one_bad_file_does_not_hide_the_others(folder):
    files = {file.path.stem: file for file in read_motors(folder)}
    assert files["broken"].motor is None
    assert files["broken"].faults
    assert files["usual"].motor.impulse_n_s == pytest.approx(1500.0)


def test_an_empty_folder_and_none_are_refused(tmp_path):
    with pytest.raises(BuildSheetError, match="no TOML file"):
        read_motors(tmp_path)
    with pytest.raises(BuildSheetError, match="no such folder"):
        read_motors(tmp_path / "nowhere")


@pytest.fixture(scope="module")
def rows(folder):
    done = subprocess.run(
        [sys.executable, "-m", "finial", "motors", folder, "--sheet", SHEET, "--json", "--quiet"],
        capture_output=True,
        text=True,
        check=False,
        timeout=240,
    )
    assert done.stdout, done.stderr
    return {row["file"].removesuffix(".toml"): row for row in json.loads(done.stdout)}


def test_each_motor_that_fails_has_its_reason(rows):
    reasons = {
        name: " | ".join(one["words"]["title"] for one in row["reasons"]) for name, row in rows.items()
    }
    assert "thrust to weight" in reasons["weak"]
    assert "speed off the rail" in reasons["weak"]
    assert "diameter of" in reasons["thick"]
    assert "in its mount" in reasons["thick"]
    assert "acceleration in g" in reasons["fierce"]
    assert "curve" in reasons["broken"]


def test_numbers_and_claims_come_along(rows):
    usual = rows["usual"]
    assert usual["designation"].startswith("K")
    assert all(check["agrees"] for check in usual["claims"])
    assert [check["what"] for check in usual["claims"]] == ["burn time, s", "letter"]
    assert rows["weak"]["apogee_m"] < usual["apogee_m"]
    assert not any(one["key"] == "motor-misfit" for one in usual["reasons"])


@pytest.mark.parametrize(
    ("impulse_n_s", "fits"),
    # I ends at 640 N s: 5 % either way of what is found.
    [(600.0, "I"), (630.0, "IJ"), (650.0, "IJ"), (680.0, "J"), (1100.0, "J")],
)
def test_a_letter_is_as_far_off_as_an_impulse_may_be(impulse_n_s, fits):
    of_this = replace(trapezoid(), thrusts_n=trapezoid().thrusts_n * impulse_n_s / 690.0)
    agrees = [letter for letter in "HIJK" if claim_checks(of_this, Claims(letter=letter))[0].agrees]
    assert "".join(agrees) == fits
