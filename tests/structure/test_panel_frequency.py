"""Lowest frequency of flat walls against exact plates."""

import math

import pytest

from finial.core.errors import OutsideRange
from finial.structure.walls.plates import Plate, panel_frequency

PLATE = Plate(thickness_m=0.002, modulus_pa=2e9, poisson=0.3)
DENSITY = 1250.0
UNIT = math.sqrt(PLATE.stiffness_n_m / (DENSITY * 0.002)) / (2 * math.pi)
"""Frequency of a plate one metre wide over its frequency parameter [Hz]."""


@pytest.mark.parametrize(
    ("edge", "sides", "parameter"),
    [
        # A. W. Leissa, NASA SP-160, 1969, from memory.
        ("supported", (1.0, 1.0), 19.739),
        ("clamped", (1.0, 1.0), 35.99),
        ("clamped", (1.0, 1.5), 27.01),
        # Beams between two walls: pi squared and 4.730 squared.
        ("supported", (1.0, 1e3), math.pi**2),
        ("clamped", (1.0, 1e3), 4.730**2),
    ],
)
def test_plates_with_known_frequencies(edge, sides, parameter) -> None:
    assert panel_frequency(PLATE, sides, DENSITY, edge=edge) / UNIT == pytest.approx(parameter, rel=0.005)


def test_halves_go_four_times_as_fast_and_springs_add() -> None:
    whole = panel_frequency(PLATE, (0.2, 0.3), DENSITY, edge="supported")
    assert panel_frequency(PLATE, (0.1, 0.15), DENSITY, edge="supported") == pytest.approx(4 * whole)
    # A mass on a spring: 1e6 Pa/m under 2.5 kg/m2.
    spring = math.sqrt(1e6 / 2.5) / (2 * math.pi)
    held = panel_frequency(PLATE, (0.2, 0.3), DENSITY, 1e6, edge="supported")
    assert held == pytest.approx(math.hypot(whole, spring))


@pytest.mark.parametrize("sides", [(0.0, 1.0), (1.0, -1.0)])
def test_plates_that_cannot_be_are_refused(sides) -> None:
    with pytest.raises(OutsideRange):
        panel_frequency(PLATE, sides, DENSITY, edge="clamped")
    with pytest.raises(OutsideRange):
        panel_frequency(PLATE, (1.0, 1.0), DENSITY, -1.0, edge="clamped")
