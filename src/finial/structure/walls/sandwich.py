"""Walls of two printed skins with infill between them, as a hollow mesh has where it is thick."""

import math
from dataclasses import dataclass

from finial.core.doors import require_positive
from finial.structure.bounds import need_between

POISSON = 0.35


@dataclass(frozen=True, slots=True, kw_only=True)
class Sandwich:
    """Two equal skins and what is between.

    Raises
    ------
    OutsideRange
        If a thickness is not above zero, or the infill lies outside 0 to 1.
    """

    skin_m: float
    core_m: float
    infill: float
    """Share of the core that is filled [-]."""

    def __post_init__(self) -> None:
        """Refuse skins of no thickness."""
        require_positive(skin_m=self.skin_m, core_m=self.core_m)
        need_between(0.0, 1.0, infill=self.infill)

    @property
    def height_m(self) -> float:
        """Both skins and the core [m]."""
        return 2 * self.skin_m + self.core_m

    @property
    def area_m(self) -> float:
        """What it carries along itself with, per width [m]."""
        return 2 * self.skin_m + self.infill**2 * self.core_m

    @property
    def bent_like_m(self) -> float:
        r"""Thickness of a solid wall that shows the same stress when it is bent [m].

        .. math::  t_s^2 = \left[h^3 - (1 - \phi^2) c^3\right] / h
        """
        cubes = self.height_m**3 - (1 - self.infill**2) * self.core_m**3
        return math.sqrt(cubes / self.height_m)


def core_shear(sandwich: Sandwich, modulus_pa: float, stiffness: float) -> float:
    r"""Shear stiffness of a sandwich whose infill alone keeps its skins from sliding on each other.

    .. math::  S = s \, \frac{\phi}{2} \frac{E}{2 (1 + \nu)} \frac{(c + t)^2}{c}

    Parameters
    ----------
    sandwich : Sandwich
        Skins :math:`t` and core :math:`c` [m].
    modulus_pa : float
        Young's modulus of the print, :math:`E` [Pa].
    stiffness : float
        Stiffness of this infill over that of walls that run unbroken through all layers, :math:`s` [-].

    Returns
    -------
    shear_n_m : float
        Cross force per width and per angle [N/m]; 0 without infill.

    Raises
    ------
    OutsideRange
        If modulus or stiffness is not above zero.

    Notes
    -----
    Holds for infill bonded to both skins whose lines lie on one another from layer to layer and meet the
    skins at 45 degrees: half of their shear counts. Lines that only cross each other in points are far
    softer.

    References
    ----------
    .. [1] Plantema, Sandwich Construction, 1966, thin faces; Gibson and Ashby, Cellular Solids, chapter 4,
       honeycombs sheared along their cells; from memory.

    Examples
    --------
    >>> round(core_shear(Sandwich(skin_m=0.0016, core_m=0.0368, infill=0.08), 2.3e9, 0.3) / 1e3)
    410
    """
    require_positive(modulus_pa=modulus_pa, stiffness=stiffness)
    shear = stiffness * sandwich.infill / 2 * modulus_pa / (2 * (1 + POISSON))
    return shear * (sandwich.core_m + sandwich.skin_m) ** 2 / sandwich.core_m


def sandwich_wall_stress(
    whole_pa: float, skin_pa: tuple[float, float], sandwich: Sandwich, shear_n_m: float
) -> float:
    r"""Stress at which a sandwich wall wrinkles: as a whole, its core sheared, or one skin on its core.

    .. math::
        \sigma = \max\left[\min\left(\frac{\sigma_w}{1 + \sigma_w A / S},\ \sigma_f\right),\ \sigma_0\right]

    Parameters
    ----------
    whole_pa : float
        Stress at which both skins would wrinkle together if the core did not shear, :math:`\sigma_w` [Pa].
    skin_pa : (float, float)
        Stress at which one skin wrinkles with the core behind it, :math:`\sigma_f`, and with nothing behind
        it, :math:`\sigma_0` [Pa].
    sandwich : Sandwich
        For its area per width, :math:`A` [m].
    shear_n_m : float
        Shear stiffness, :math:`S`, see :func:`core_shear` [N/m].

    Returns
    -------
    stress_pa : float
        Buckling stress [Pa].

    Raises
    ------
    OutsideRange
        If a stress is not above zero or the stiffness is negative.

    Notes
    -----
    Holds for skins that stay bonded to the core. Without a core each skin stands for itself.

    References
    ----------
    .. [1] Plantema, Sandwich Construction, 1966: reciprocals of bending and shear buckling add; from memory.

    Examples
    --------
    >>> thin = Sandwich(skin_m=0.002, core_m=0.003, infill=0.2)
    >>> round(sandwich_wall_stress(4e6, (20e6, 0.3e6), thin, 60e3) / 1e6, 2)
    3.14
    """
    facing, alone = skin_pa
    require_positive(whole_pa=whole_pa, facing_pa=facing, alone_pa=alone)
    need_between(0.0, math.inf, shear_n_m=shear_n_m)
    bent = whole_pa * shear_n_m / (shear_n_m + whole_pa * sandwich.area_m)
    return max(min(bent, facing), alone)
