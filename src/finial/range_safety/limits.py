"""Tilt, wind, waits and field size that a code asks for, and the room below a ceiling."""

import math
from dataclasses import dataclass

from finial.core.doors import require_not_negative
from finial.core.errors import MissingData
from finial.core.tables import table_rows
from finial.range_safety.distance import FOOT_M

_SI = {"deg": math.radians(1.0), "mph": 0.44704, "s": 1.0, "ft": FOOT_M, "m": 1.0, "": 1.0}
"""SI value of each unit in the table; mph and ft exact by definition."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CodeLimits:
    """What one code asks for; ``None`` where the table does not say."""

    code: str
    tilt_rad: float
    """Rail from vertical, at most [rad]."""
    wind_m_s: float
    """Wind at the ground, at most [m/s]."""
    misfire_wait_s: float | None
    countdown_s: float | None
    no_flame_m: float | None
    """Distance of flames and smoking from motors, at least [m]."""
    thrust_over_weight: float | None
    field_over_altitude: float | None
    """Smallest side of the field over the altitude, at least [-]."""
    field_at_least_m: float | None
    sight_above_m: float | None
    """Visibility above the launching area, at least [m]."""
    licensed_operator: bool
    """True where somebody licensed by the state supervises the launch."""
    not_read: tuple[str, ...]
    """Limits that were not read in this code, and are taken from elsewhere."""
    under_faa: bool
    """True where 14 CFR 101.25 holds beside the code."""
    sources: tuple[tuple[str, str], ...]
    """Name of each limit and where it comes from."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AirspaceRule:
    """One rule of 14 CFR 101.25 in our words."""

    rule: str
    words: str
    value: float | None
    """In SI units; ``None`` for a thing to do."""
    unit: str
    source: str


def code_limits(code: str) -> CodeLimits:
    """Look up what a code asks for besides distance.

    Parameters
    ----------
    code : str
        Code that governs the field, letter case ignored.

    Returns
    -------
    CodeLimits
        Tilt [rad], wind [m/s], waits [s], distances [m]; each with its source.

    Raises
    ------
    MissingData
        If the table has no limits for the code; the message lists the codes it has.

    Notes
    -----
    Holds for the editions named in the sources; local rules may be tighter.

    References
    ----------
    .. [1] High Power Rocket Safety Code, August 2012; 19 CCR 1036; each row says how it is known.

    Examples
    --------
    >>> round(code_limits("NFPA 1127").wind_m_s, 2)
    8.94
    """
    rows = table_rows("finial.range_safety", "limits.csv")
    mine = {row["limit"]: row for row in rows if row["code"].casefold() == code.casefold()}
    if not mine:
        known = dict.fromkeys(row["code"] for row in rows)
        raise MissingData(f"no limits for code {code!r}: known are {', '.join(known)}")
    values = {limit: float(row["value"]) * _SI[row["unit"]] for limit, row in mine.items()}
    return CodeLimits(
        code=next(iter(mine.values()))["code"],
        tilt_rad=values["tilt"],
        wind_m_s=values["wind"],
        misfire_wait_s=values.get("misfire wait"),
        countdown_s=values.get("countdown"),
        no_flame_m=values.get("no flame"),
        thrust_over_weight=values.get("thrust over weight"),
        field_over_altitude=values.get("field over altitude"),
        field_at_least_m=values.get("field at least"),
        sight_above_m=values.get("sight above"),
        licensed_operator=values.get("licensed operator", 0.0) > 0.0,
        not_read=tuple(limit for limit, row in mine.items() if row["read"] == "no"),
        under_faa=values.get("faa", 0.0) > 0.0,
        sources=tuple((limit, row["source"]) for limit, row in mine.items()),
    )


def field_minimum(limits: CodeLimits, altitude_agl_m: float) -> float | None:
    r"""Smallest side a field must have for an altitude.

    .. math::  s = \max(k h,\ s_0)

    Parameters
    ----------
    limits : CodeLimits
        Limits of the code.
    altitude_agl_m : float
        Highest altitude expected, :math:`h` [m].

    Returns
    -------
    float or None
        Smallest side of the field :math:`s` [m]; ``None`` where the code's rule is not known.

    Raises
    ------
    OutsideRange
        If the altitude is negative or not a number.

    Notes
    -----
    Holds for rockets above 160 N s; it is not a promise that the rocket lands inside.

    References
    ----------
    .. [1] High Power Rocket Safety Code, August 2012, item 10; from memory, not re-read.

    Examples
    --------
    >>> field_minimum(code_limits("NFPA 1127"), 1200.0)
    600.0
    """
    require_not_negative(altitude_agl_m=altitude_agl_m)
    if limits.field_over_altitude is None or limits.field_at_least_m is None:
        return None
    return max(limits.field_over_altitude * altitude_agl_m, limits.field_at_least_m)


def airspace_rules() -> tuple[AirspaceRule, ...]:
    """Rules of 14 CFR 101.25 for Class 2 and Class 3 rockets.

    Returns
    -------
    rules : tuple of AirspaceRule
        Each in our words, with its number in SI units where it has one.

    Examples
    --------
    >>> [rule.value for rule in airspace_rules() if rule.rule == "airport"]
    [9260.0]
    """
    return tuple(
        AirspaceRule(
            rule=row["rule"],
            words=row["words"],
            value=float(row["value"]) if row["value"] else None,
            unit=row["unit"],
            source=row["source"],
        )
        for row in table_rows("finial.range_safety", "airspace.csv")
    )
