"""How far people must stand when several rockets leave at once."""

from dataclasses import dataclass

from finial.core.doors import require_positive
from finial.core.errors import OutsideRange
from finial.core.tables import table_rows
from finial.range_safety.distance import minimum_distance


@dataclass(frozen=True, slots=True, kw_only=True)
class DistanceTogether:
    """One reading of a code for rockets that leave at once."""

    code: str
    edition: str
    distance_m: float
    source: str


def distances_together(
    code: str, impulse_n_s: float, rockets: int, highest_agl_m: float
) -> tuple[DistanceTogether, ...]:
    r"""Look up how far people must stand when several rockets leave at once, in every edition known.

    .. math::  d = \min(f\, d_{\mathrm{complex}}(\textstyle\sum I),\ 610\ \text{m},\ 1.5\, h)

    Parameters
    ----------
    code : str
        Code that governs the field, letter case ignored.
    impulse_n_s : float
        Total impulse of all rockets together [N s].
    rockets : int
        How many leave at once.
    highest_agl_m : float
        Highest altitude expected of any of them, :math:`h` [m].

    Returns
    -------
    distances : tuple of DistanceTogether
        One for each edition or reading, the printed one first; empty where the code has no rule for so
        many, or none that is known.

    Raises
    ------
    OutsideRange
        If there is no rocket, a number is not above zero, or the impulse is beyond the code's table.
    MissingData
        If the code is not in the distance table.

    Notes
    -----
    Editions differ twofold; keep the larger distance where it is not certain which one governs.

    References
    ----------
    .. [1] NFPA 1127, Code for High Power Rocketry, 2018 edition, Tentative Interim Amendment 18-1,
       August 2017 (seen as plain text).

    Examples
    --------
    >>> [round(one.distance_m) for one in distances_together("NFPA 1127", 4500.0, 3, 1000.0)]
    [305, 152]
    """
    require_positive(impulse_n_s=impulse_n_s, highest_agl_m=highest_agl_m)
    if rockets < 1:
        raise OutsideRange(f"{rockets} rockets at once: accepted is 1 or more")
    whole = minimum_distance(code, impulse_n_s, "complex")
    rows = table_rows("finial.range_safety", "together.csv")
    return tuple(
        DistanceTogether(
            code=whole.code,
            edition=row["edition"],
            distance_m=min(
                float(row["factor"]) * whole.distance_m,
                float(row["cap_m"]),
                float(row["cap_over_altitude"]) * highest_agl_m,
            ),
            source=row["source"],
        )
        for row in rows
        if row["code"] == whole.code and rockets >= int(row["rockets_from"])
    )
