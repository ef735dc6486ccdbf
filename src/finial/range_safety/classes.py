"""Which class a rocket falls in, and whether it counts as high power."""

from dataclasses import dataclass
from enum import StrEnum

from finial.core.doors import require_not_negative, require_positive
from finial.core.errors import OutsideRange

CLASS_1_PROPELLANT_KG = 0.125
"""14 CFR 101.22 (a) (seen)."""
CLASS_1_MASS_KG = 1.5
"""14 CFR 101.22 (a), with propellant (seen)."""
CLASS_2_IMPULSE_N_S = 40_960.0
"""14 CFR 101.22 (b) (seen)."""
AMATEUR_IMPULSE_N_S = 889_600.0
"""14 CFR 1.1, amateur rocket (seen); more needs a licence."""
HIGH_POWER_IMPULSE_N_S = 160.0
"""Total impulse of one motor above which it is high power; NFPA 1125, from memory."""
HIGH_POWER_CLUSTER_N_S = 320.0
"""Total impulse of all motors above which a cluster is high power; NFPA 1122, from memory."""
HIGH_POWER_THRUST_N = 80.0
"""Average thrust above which a motor is high power; NFPA 1125, from memory."""


class FaaClass(StrEnum):
    """Classes of amateur rockets in 14 CFR 101.22."""

    CLASS_1 = "Class 1"
    CLASS_2 = "Class 2"
    CLASS_3 = "Class 3"


@dataclass(frozen=True, slots=True, kw_only=True)
class Installed:
    """What is installed, for classing."""

    impulse_n_s: float
    """Total impulse of all motors [N s]."""
    propellant_kg: float
    lift_off_mass_kg: float
    largest_average_thrust_n: float
    """Average thrust of the strongest motor [N]."""
    motor_count: int = 1
    substantial_metal: bool = True
    """Threaded rods, metal nose tips and the like."""


def faa_class(installed: Installed) -> FaaClass:
    r"""Class of the rocket in the rules of the FAA.

    .. math::

        \text{Class 1: } m_p \le 125\ \text{g},\ m \le 1500\ \text{g}, \text{ no substantial metal}; \qquad
        \text{Class 2: } I \le 40\,960\ \text{N s}

    Parameters
    ----------
    installed : Installed
        Impulse [N s], propellant [kg], mass at lift-off [kg] and whether it has metal parts.

    Returns
    -------
    FaaClass
        The class.

    Raises
    ------
    OutsideRange
        If a mass or the impulse is not positive, or the impulse is beyond an amateur rocket.

    Notes
    -----
    Class 1 also asks for slow-burning propellant and for paper, wood or breakable plastic;
    the altitude limit of an amateur rocket, 150 km, is not looked at. Other countries class
    otherwise.

    References
    ----------
    .. [1] 14 CFR 101.22 (seen); 14 CFR 1.1, amateur rocket (seen).

    Examples
    --------
    >>> faa_class(
    ...     Installed(
    ...         impulse_n_s=1200.0, propellant_kg=0.6, lift_off_mass_kg=6.0, largest_average_thrust_n=500.0
    ...     )
    ... ).value
    'Class 2'
    """
    _require_installed(installed)
    if installed.impulse_n_s > AMATEUR_IMPULSE_N_S:
        raise OutsideRange(
            f"{installed.impulse_n_s:.0f} N s is more than an amateur rocket may have "
            f"({AMATEUR_IMPULSE_N_S:.0f} N s, 14 CFR 1.1)"
        )
    light = installed.propellant_kg <= CLASS_1_PROPELLANT_KG and installed.lift_off_mass_kg <= CLASS_1_MASS_KG
    if light and not installed.substantial_metal and installed.impulse_n_s <= CLASS_2_IMPULSE_N_S:
        return FaaClass.CLASS_1
    return FaaClass.CLASS_2 if installed.impulse_n_s <= CLASS_2_IMPULSE_N_S else FaaClass.CLASS_3


def is_high_power(installed: Installed) -> bool:
    r"""Whether the rocket is high power, so that its flyer must be certified.

    .. math::  I_1 > 160\ \text{N s} \ \lor\ \textstyle\sum I > 320\ \text{N s} \ \lor\ \bar F > 80\ \text{N}

    Parameters
    ----------
    installed : Installed
        Impulse [N s], average thrust [N], number of motors, masses [kg].

    Returns
    -------
    bool
        True beyond any of the thresholds; for several motors the impulse of one is taken
        as an equal share.

    Raises
    ------
    OutsideRange
        If a number is not positive.

    Notes
    -----
    Also true above the mass or propellant of FAA Class 1. Sparky or hybrid motors count as
    high power whatever their size, and that is not looked at.

    References
    ----------
    .. [1] NFPA 1122 and 1125; from memory, not re-read. 14 CFR 101.22 for the masses (seen).

    Examples
    --------
    >>> is_high_power(
    ...     Installed(
    ...         impulse_n_s=1200.0, propellant_kg=0.6, lift_off_mass_kg=6.0, largest_average_thrust_n=500.0
    ...     )
    ... )
    True
    """
    _require_installed(installed)
    one = installed.impulse_n_s / installed.motor_count
    return (
        one > HIGH_POWER_IMPULSE_N_S
        or installed.impulse_n_s > HIGH_POWER_CLUSTER_N_S
        or installed.largest_average_thrust_n > HIGH_POWER_THRUST_N
        or installed.lift_off_mass_kg > CLASS_1_MASS_KG
        or installed.propellant_kg > CLASS_1_PROPELLANT_KG
    )


def _require_installed(installed: Installed) -> None:
    """Refuse numbers that cannot be."""
    require_positive(
        impulse_n_s=installed.impulse_n_s,
        lift_off_mass_kg=installed.lift_off_mass_kg,
        largest_average_thrust_n=installed.largest_average_thrust_n,
        motor_count=installed.motor_count,
    )
    require_not_negative(propellant_kg=installed.propellant_kg)
