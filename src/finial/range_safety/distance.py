"""How far people must stand from the pad, from the chosen code's table."""

from dataclasses import dataclass

from finial.core.doors import require_not_negative, require_positive
from finial.core.errors import MissingData, OutsideRange
from finial.core.tables import table_rows

FOOT_M = 0.3048
"""International foot [m]; exact by definition."""
LEAST_BYSTANDER_M = 457.0
"""Least distance of 14 CFR 101.25 (g) [m], printed there beside 1,500 ft."""
LAYOUTS = ("single", "complex")
"""``single``: one motor; ``complex``: clusters and more than one stage."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MinimumDistance:
    """One row of one code."""

    code: str
    edition: str
    layout: str
    impulse_to_n_s: float
    """The row holds up to this installed impulse [N s]."""
    distance_m: float
    source: str


def known_codes() -> tuple[str, ...]:
    """Names of the codes in the distance table.

    Returns
    -------
    codes : tuple of str
        Each once, in the order of the table.

    Examples
    --------
    >>> "NFPA 1127" in known_codes()
    True
    """
    rows = table_rows("finial.range_safety", "distances.csv")
    return tuple(dict.fromkeys(row["code"] for row in rows))


def minimum_distance(code: str, impulse_n_s: float, layout: str = "single") -> MinimumDistance:
    r"""Look up how far people must stand from the pad.

    .. math::  d = d_i, \qquad I_{i-1} < I \le I_i

    Parameters
    ----------
    code : str
        Code that governs the field, letter case ignored.
    impulse_n_s : float
        Total impulse of all motors installed, :math:`I` [N s].
    layout : str
        ``single`` for one motor, ``complex`` for clusters and more than one stage.

    Returns
    -------
    MinimumDistance
        Distance [m] with the edition and source of its row.

    Raises
    ------
    MissingData
        If the code is not in the table; the message lists those that are.
    OutsideRange
        If the impulse is not positive or beyond the code's last row, the layout is neither
        of the two, or the code prints no distance for it.

    Notes
    -----
    Holds for one rocket on the pad. Codes ask for more when three or more are launched at
    once, and editions differ. The range safety officer may ask for more, never less.

    References
    ----------
    .. [1] NFPA 1127 table 4.16.3; 19 CCR 1036 table 18A.

    Examples
    --------
    >>> minimum_distance("NFPA 1127", 2000.0).distance_m
    60.96
    """
    require_positive(impulse_n_s=impulse_n_s)
    if layout not in LAYOUTS:
        raise OutsideRange(f"layout = {layout!r}: write {' or '.join(LAYOUTS)}")
    rows = _rows_of(code)
    row = next((row for row in rows if impulse_n_s <= float(row["impulse_to_n_s"])), None)
    if row is None:
        raise OutsideRange(
            f"{impulse_n_s:.0f} N s is beyond the table of {rows[0]['code']}, which ends at "
            f"{rows[-1]['impulse_to_n_s']} N s: ask the range safety officer which code governs"
        )
    if not row[f"{layout}_ft"]:
        raise OutsideRange(
            f"{row['code']} prints no distance for a {layout} rocket of {impulse_n_s:.0f} N s: "
            f"ask the range safety officer"
        )
    return MinimumDistance(
        code=row["code"],
        edition=row["edition"],
        layout=layout,
        impulse_to_n_s=float(row["impulse_to_n_s"]),
        distance_m=float(row[f"{layout}_ft"]) * FOOT_M,
        source=row["source"],
    )


def faa_101_25(max_altitude_agl_m: float) -> float:
    r"""Distance from persons and property that have no part in the launch.

    .. math::  d = \max(h / 4,\ 457\ \text{m})

    Parameters
    ----------
    max_altitude_agl_m : float
        Highest altitude expected, :math:`h`, above the ground [m].

    Returns
    -------
    float
        Distance :math:`d` [m].

    Raises
    ------
    OutsideRange
        If the altitude is negative or not a number.

    Notes
    -----
    Holds for Class 2 and Class 3 rockets in the United States. It stands beside the
    distance of the code, which concerns people who take part; keep both.

    References
    ----------
    .. [1] 14 CFR 101.25 (g) (seen).

    Examples
    --------
    >>> faa_101_25(1000.0)
    457.0
    """
    require_not_negative(max_altitude_agl_m=max_altitude_agl_m)
    return max(max_altitude_agl_m / 4, LEAST_BYSTANDER_M)


def _rows_of(code: str) -> list[dict[str, str]]:
    """Rows of one code, by impulse."""
    rows = table_rows("finial.range_safety", "distances.csv")
    mine = [row for row in rows if row["code"].casefold() == code.casefold()]
    if not mine:
        known = known_codes()
        raise MissingData(f"no distances for code {code!r}: known are {', '.join(known)}", known)
    return sorted(mine, key=lambda row: float(row["impulse_to_n_s"]))
