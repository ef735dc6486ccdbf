"""Flutter and divergence of a real fin, from its own natural frequencies."""

import math
from dataclasses import dataclass

import numpy as np

from finial.core.errors import OutsideRange
from finial.structure.bounds import need_positive
from finial.structure.fins.modes import FinModes, FinPlate, fin_modes
from finial.structure.fins.outline import chords, trapezoids
from finial.structure.fins.typical_section import TypicalSection, divergence_speed, unsteady_flutter

_WHERE = 0.75
# The typical section is taken three quarters out, where a fin swings most of what it swings.


@dataclass(frozen=True, slots=True, kw_only=True)
class FinFlutter:
    """Speeds at which a fin flutters and twists away; ``inf`` where it does neither."""

    flutter_m_s: float
    flutter_hz: float
    """Frequency at which it flutters [Hz]; 0 if it does not."""
    divergence_m_s: float
    modes: FinModes
    section: TypicalSection


def fin_flutter(plate: FinPlate, air_density_kg_m3: float) -> FinFlutter:
    r"""Flutter and divergence speed of a flat fin by its typical section.

    .. math::
        b = c(0.75 s) / 2, \quad \mu = \frac{\rho_s h \, 2 b}{\pi \rho b^2}, \quad
        \sigma = \omega_h / \omega_\theta, \quad a = x = 0, \quad r^2 = 1/3

    Parameters
    ----------
    plate : FinPlate
        Outline [m], thickness [m], modulus [Pa], density [kg/m^3].
    air_density_kg_m3 : float
        Air density [kg/m^3].

    Returns
    -------
    flutter : FinFlutter
        Speeds [m/s], frequencies, and the section they follow from.

    Raises
    ------
    OutsideRange
        If the density is not above zero or the fin has no chord three quarters out.

    Notes
    -----
    Holds for solid flat fins, elastic axis and mass centre at mid-chord, low Mach number. Lift of a long fin
    is used; short fins lift less, so both speeds come out low, by up to half for a fin as long as its chord.
    Sweep raises divergence and is left out.

    References
    ----------
    .. [1] Bisplinghoff, Ashley and Halfman, Aeroelasticity, chapter 9 (typical section); from memory.

    Examples
    --------
    >>> outline = np.array([[0.0, 0.0], [0.12, 0.16], [0.24, 0.16], [0.26, 0.0]])
    >>> plate = FinPlate(outline_m=outline, thickness_m=0.005, modulus_pa=2.3e9, density_kg_m3=1200.0)
    >>> fin_flutter(plate, 1.2).flutter_m_s > 50.0
    True
    """
    need_positive(air_density_kg_m3=air_density_kg_m3)
    span = trapezoids(plate.outline_m)[-1].outer_m
    half = float(chords(plate.outline_m, np.array([_WHERE * span]))[0]) / 2
    if not half > 0.0:
        raise OutsideRange("the fin has no chord three quarters of the way out")
    modes = fin_modes(plate)
    solid = plate.density_kg_m3 * plate.thickness_m
    section = TypicalSection(
        axis=0.0,
        imbalance=0.0,
        radius_squared=1 / 3,
        frequency_ratio=modes.bending_rad_s / modes.torsion_rad_s,
        mass_ratio=2 * solid / (math.pi * air_density_kg_m3 * half),
    )
    scale = half * modes.torsion_rad_s
    point = unsteady_flutter(section)
    return FinFlutter(
        flutter_m_s=point.speed * scale if point else math.inf,
        flutter_hz=point.frequency * modes.torsion_rad_s / (2 * math.pi) if point else 0.0,
        divergence_m_s=divergence_speed(section) * scale,
        modes=modes,
        section=section,
    )
