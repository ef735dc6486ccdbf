"""Shock cords: what a cord and its knots hold, and the pull when two bodies reach its end."""

import math
from dataclasses import dataclass

from finial.core.corners import over_corners
from finial.core.doors import require_not_negative, require_positive
from finial.core.estimates import Estimate, KnownBy, exact
from finial.core.tables import row_named, table_rows

KNOT_SCATTER = 0.10
"""How far the charts of knot strength disagree, as a share of the cord's strength [-]."""
UNKNOWN_KNOT_KEEPS = 0.50
"""What a knot that nobody named is taken to keep [-]; common practice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cord:
    """A cord as bought, without knots."""

    name: str
    breaking_load_n: Estimate
    stretch_at_break: Estimate
    """Share of the length [-]."""
    mass_kg_per_m: float | None
    source: str
    width_m: float | None = None
    """Width that bears on a lip [m]; ``None`` where not known."""
    rebound: float = 0.7
    """Speed given back over speed stopped [-]; assumed for nylon."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Separation:
    """Two bodies flying apart at the ends of a cord."""

    fore_mass_kg: Estimate
    aft_mass_kg: Estimate
    speed_m_s: Estimate
    """Speed at which they part when the cord comes taut [m/s]."""
    length_m: Estimate


def cord_named(name: str) -> Cord:
    """Look a cord up by name.

    Parameters
    ----------
    name : str
        Name as in the table, letter case ignored.

    Returns
    -------
    Cord
        Strength [N], stretch [-] and mass [kg/m].

    Raises
    ------
    MissingData
        If the table has no such cord; the message lists those it has.

    Notes
    -----
    Strengths are minima of new cord. Sunlight, heat from a charge and abrasion take their
    share: ten flights may leave three quarters.

    References
    ----------
    .. [1] MIL-C-5040, MIL-T-8363B, MIL-W-5625; each row says how it is known.

    Examples
    --------
    >>> cord_named("tubular nylon 25 mm").breaking_load_n.value
    17793.0
    """
    row = row_named(table_rows("finial.recovery", "cords.csv"), name)
    return Cord(
        name=row["name"],
        breaking_load_n=exact(float(row["breaking_load_n"]), known_by=KnownBy.HANDBOOK, source=row["source"]),
        stretch_at_break=Estimate(
            value=float(row["stretch"]),
            low=float(row["stretch_low"]),
            high=float(row["stretch_high"]),
            known_by=KnownBy.HANDBOOK,
            source=row["source"],
        ),
        mass_kg_per_m=float(row["grams_per_m"]) / 1000 if row["grams_per_m"] else None,
        source=row["source"],
        width_m=float(row["width_mm"]) / 1000 if row["width_mm"] else None,
        rebound=float(row["rebound"]),
    )


def knot_keeps(name: str | None = None) -> Estimate:
    """Share of a cord's strength that a knot leaves.

    Parameters
    ----------
    name : str, optional
        Knot as in the table; without it the default of one half.

    Returns
    -------
    Estimate
        Share kept [-], give or take ten points.

    Raises
    ------
    MissingData
        If the table has no such knot; the message lists those it has.

    Notes
    -----
    Holds for rope; charts for webbing are rarer still, and measured knots scatter and
    contradict the charts. Slippery cord (aramid, polyethylene) may slip instead.

    References
    ----------
    .. [1] Jacobson, Knots for the Outdoors, p. 24 (seen).
    .. [2] Simon et al., Acta Physica Polonica A 138 (2020) 404 (seen): the charts are disputed.

    Examples
    --------
    >>> knot_keeps("bowline").value
    0.6
    """
    rows = table_rows("finial.recovery", "knots.csv")
    row = row_named(rows, name) if name else None
    keeps = float(row["keeps"]) if row else UNKNOWN_KNOT_KEEPS
    return Estimate(
        value=keeps,
        low=keeps - KNOT_SCATTER,
        high=min(keeps + KNOT_SCATTER, 1.0),
        known_by=KnownBy.HANDBOOK if row else KnownBy.ASSUMED,
        method="knot chart" if row else "default for a knot that is not named",
        source=row["source"] if row else "common practice",
    )


def cord_strength(breaking_load_n: Estimate, keeps: Estimate) -> Estimate:
    r"""Load at which a knotted cord breaks.

    .. math::  F_k = \eta F_b

    Parameters
    ----------
    breaking_load_n : Estimate
        Strength without knots, :math:`F_b` [N].
    keeps : Estimate
        Share the worst knot leaves, :math:`\eta` [-].

    Returns
    -------
    Estimate
        Strength :math:`F_k` [N].

    Raises
    ------
    OutsideRange
        If either is not positive.

    Notes
    -----
    Holds for a slow pull on cord in new condition.

    References
    ----------
    .. [1] Common practice.

    Examples
    --------
    >>> cord_strength(exact(2000.0), exact(0.5)).value
    1000.0
    """
    require_positive(breaking_load_n=breaking_load_n.low, keeps=keeps.low)
    return over_corners(
        lambda load, share: load * share,
        {"load": breaking_load_n, "share": keeps},
        method="breaking load times what the knot keeps",
        source=breaking_load_n.source,
    )


def cord_peak_load(separation: Separation, cord: Cord) -> Estimate:
    r"""Pull in a cord that brings two bodies to the same speed.

    .. math::

        \tfrac{1}{2} \mu v^2 = \tfrac{1}{2} k x^2, \quad
        \mu = \frac{m_1 m_2}{m_1 + m_2}, \quad
        k = \frac{F_b}{\varepsilon_b L}, \qquad F = v \sqrt{\mu k}

    Parameters
    ----------
    separation : Separation
        Masses [kg], speed of parting [m/s] and cord length [m].
    cord : Cord
        Breaking load [N] and stretch at break [-].

    Returns
    -------
    Estimate
        Peak load :math:`F` [N]. ``inside_range`` is false where it passes the breaking load:
        the cord then parts and the number only says by how much.

    Raises
    ------
    OutsideRange
        If a mass, the length, strength or stretch is not positive, or the speed negative.

    Notes
    -----
    Holds for a straight, light, elastic cord without damping; an upper bound for the same
    stiffness. Real cord is stiffer at first; folds held by tape that tears take energy out
    and are not counted. A stiffer cord pulls harder: strength alone does not cure.

    References
    ----------
    .. [1] Energy balance of two bodies and a spring; stiffness from break load and stretch.

    Examples
    --------
    >>> apart = Separation(
    ...     fore_mass_kg=exact(2.0), aft_mass_kg=exact(6.0), speed_m_s=exact(15.0), length_m=exact(6.0)
    ... )
    >>> round(cord_peak_load(apart, cord_named("tubular nylon 25 mm")).value)
    2001
    """
    parts = _parts(separation, cord)
    load = over_corners(
        lambda fore, aft, speed, length, strength, stretch: (
            speed * math.sqrt(_reduced_mass(fore, aft) * strength / (stretch * length))
        ),
        parts,
    )
    return Estimate(
        value=load.value,
        low=load.low,
        high=load.high,
        known_by=load.known_by,
        method="energy balance of two bodies and a linear cord",
        source=cord.source,
        inside_range=load.inside_range and load.high <= cord.breaking_load_n.low,
    )


def _parts(separation: Separation, cord: Cord) -> dict[str, Estimate]:
    """Check the inputs of the energy balance and name them."""
    require_not_negative(speed_m_s=separation.speed_m_s.low)
    parts = {
        "fore": separation.fore_mass_kg,
        "aft": separation.aft_mass_kg,
        "length": separation.length_m,
        "strength": cord.breaking_load_n,
        "stretch": cord.stretch_at_break,
    }
    require_positive(**{name: part.low for name, part in parts.items()})
    return parts | {"speed": separation.speed_m_s}


def _reduced_mass(first_kg: float, second_kg: float) -> float:
    """Mass that carries the energy of two bodies' motion against each other [kg]."""
    return first_kg * second_kg / (first_kg + second_kg)
