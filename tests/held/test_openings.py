"""Rescue canopies opened at 40 m/s, predicted from the mass and the standard they are built to, and measured.

The prediction was fixed before any peak of the second session was read, except its first drop's (8.83 g),
which was seen while the masses were looked up; all twelve of the first session had been read. Nothing in it
was fitted to either.
"""

import csv
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from statistics import median

import numpy as np
import pytest

from finial.core.constants import STANDARD_GRAVITY_M_S2
from finial.core.estimates import Estimate, KnownBy
from finial.recovery.canopies.kinds import canopy_kind
from finial.recovery.canopies.opening import Opening, opening_load

PAGE = Path(__file__).parents[2] / "docs" / "held-against-measurements.md"
SINKS_M_S = (4.8, 5.2, 5.5)
"""EN 12491:2015, 4.3.1: below 5.5 m/s at the largest mass, in standard air; more cloth is assumed rare."""
STRETCH_M_S = (40.0, 41.2, 44.5)
"""Thrown at 40 m/s (EN 12491:2015, 5.3), a second before the lines are taut: 0 to 2 s of fall."""
PREDICTED_HIGH_G = {230.0: 9.4, 220.0: 9.6, 210.0: 9.7, 140.0: 11.2, 125.0: 11.6, 120.0: 11.8, 115.0: 11.9}
PREDICTED_HIGH_G |= {100.0: 12.5, 90.0: 13.0, 80.0: 13.5}
"""High ends as committed before the second session was read, by mass [kg]; it then set the least filling."""
SEA_LEVEL_KG_M3 = 1.225
DENSITY_KG_M3 = (1.10, 1.20, 1.25)
"""The field is not told: below 1000 m, not freezing hard."""


def known(ends: tuple[float, float, float]) -> Estimate:
    low, value, high = ends
    return Estimate(value=value, low=low, high=high, known_by=KnownBy.ASSUMED)


@dataclass(frozen=True, slots=True, kw_only=True)
class Drop:
    """One drop of a test session."""

    mass_kg: float


@cache
def peak_g(drop: Drop) -> Estimate:
    """Largest felt by the mass [g]: a flat circular canopy just large enough for the standard."""
    kind = canopy_kind("flat circular")
    areas = sorted(
        2.0 * drop.mass_kg * STANDARD_GRAVITY_M_S2 / SEA_LEVEL_KG_M3 / sink**2 for sink in SINKS_M_S
    )
    area = known((areas[0], areas[1], areas[2]))
    middle = 0.5 * (kind.drag_coefficient.low + kind.drag_coefficient.high)
    diameters = np.sqrt(4.0 * np.array(areas) / np.pi / middle)
    load = opening_load(
        Opening(
            kind=kind,
            nominal_diameter_m=known((float(diameters[0]), float(diameters[1]), float(diameters[2]))),
            drag_area_m2=area,
            mass_kg=known((drop.mass_kg - 1.0, drop.mass_kg, drop.mass_kg + 1.0)),
            speed_m_s=known(STRETCH_M_S),
            density_kg_m3=known(DENSITY_KG_M3),
        )
    )
    return load.scaled(1.0 / drop.mass_kg / STANDARD_GRAVITY_M_S2)


def drops(session: str) -> list[tuple[float, float]]:
    """Masses [kg] and largest felt [g] of one session."""
    lines = Path(__file__).with_name("openings.csv").read_text(encoding="utf-8").splitlines()
    rows = csv.DictReader(line for line in lines if not line.startswith("#"))
    return [(float(row["mass_kg"]), float(row["peak_g"])) for row in rows if row["session"] == session]


@pytest.mark.parametrize(("session", "inside", "of"), [("1", 11, 12), ("2", 13, 13)])
def test_so_many_openings_lie_in_the_band_and_no_more(session, inside, of):
    """The page says how badly it reads: a method that reads otherwise must change the page."""
    told = [(peak_g(Drop(mass_kg=mass)), peak) for mass, peak in drops(session)]
    assert len(told) == of
    assert sum(band.low <= peak <= band.high for band, peak in told) == inside
    assert median(peak / band.value for band, peak in told) == pytest.approx(2.09, abs=0.01)


def test_light_masses_are_felt_harder_as_predicted():
    bands = [peak_g(Drop(mass_kg=mass)).value for mass in (230.0, 125.0, 80.0)]
    assert bands == sorted(bands)
    measured = drops("2")
    heavy, light = (
        median(peak for mass, peak in measured if (mass > 150.0) == side) for side in (True, False)
    )
    assert light > 1.3 * heavy


def test_the_page_holds_every_row_of_the_blind_session():
    page = PAGE.read_text(encoding="utf-8")
    for mass, peak in drops("2"):
        band = peak_g(Drop(mass_kg=mass))
        within = "yes" if band.low <= peak <= band.high else "no"
        as_predicted = "yes" if peak <= PREDICTED_HIGH_G[mass] else "no"
        assert f"| {mass:.0f} | {band.low:.1f} to {band.high:.1f} ({band.value:.1f}) | {peak:.1f} |" in page
        assert f"{peak:.1f} | {peak / band.value:.2f} | {within} ({as_predicted}) |" in page
