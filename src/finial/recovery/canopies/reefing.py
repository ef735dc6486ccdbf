"""Reefing: what slows a canopy's opening, and by how much."""

from dataclasses import replace

from finial.core.corners import over_corners
from finial.core.estimates import Estimate, KnownBy
from finial.core.tables import row_named, table_rows
from finial.recovery.canopies.kinds import CanopyKind


def slowing(name: str) -> Estimate:
    """How much longer a reefed canopy takes to fill than one that is not.

    Parameters
    ----------
    name : str
        ``none``, ``slider`` or ``ring``.

    Returns
    -------
    Estimate
        Filling distance over that without [-].

    Raises
    ------
    MissingData
        If the table has no such name; the message lists those it has.

    Notes
    -----
    Assumed, with a wide interval: the friction of a ring and the size of a slider decide.
    A drop from a height with a load cell or a camera says more.

    References
    ----------
    .. [1] Common practice; no published value for small round canopies was found.

    Examples
    --------
    >>> slowing("slider").value
    2.0
    """
    row = row_named(table_rows("finial.recovery", "reefing.csv"), name)
    known = KnownBy.COMPUTED if name == "none" else KnownBy.ASSUMED
    return Estimate(
        value=float(row["value"]),
        low=float(row["low"]),
        high=float(row["high"]),
        known_by=known,
        method=f"filling slowed by a {name}" if name != "none" else "not reefed",
        source=row["source"],
    )


def reefed(kind: CanopyKind, name: str) -> CanopyKind:
    r"""Kind of canopy with its filling slowed.

    .. math::  n' = f n

    Parameters
    ----------
    kind : CanopyKind
        The canopy without reefing.
    name : str
        ``none``, ``slider`` or ``ring``.

    Returns
    -------
    CanopyKind
        The same canopy with a larger fill constant [-].

    Raises
    ------
    MissingData
        If the table has no such name.

    Notes
    -----
    Range and error as for ``slowing``. It does not help a canopy that is already slowed more
    by its load than by its filling.

    References
    ----------
    .. [1] As ``slowing``.

    Examples
    --------
    >>> from finial.recovery.canopies.kinds import canopy_kind
    >>> reefed(canopy_kind("flat circular"), "slider").fill_constant.value
    16.0
    """
    if name == "none":
        return kind
    constant = over_corners(
        lambda constant, factor: constant * factor, {"constant": kind.fill_constant, "factor": slowing(name)}
    )
    return replace(kind, fill_constant=replace(constant, source=kind.fill_constant.source))
