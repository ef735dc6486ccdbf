"""Drag of thin walls that stand in the flow: fins and rings."""

import numpy as np

from finial.aero.drag.friction import surface_friction
from finial.aero.drag.pressure import FACE_PRESSURE, HOERNER, base_drag_fit, friction_at_mach, stagnation_rise
from finial.aero.drag.sources import DragKind, DragSource, acting_at, acting_between
from finial.aero.fins.on_body import FinAir
from finial.aero.steps.separation import torn_off
from finial.core.estimates import Estimate, KnownBy, spread
from finial.shape.skin import Ring

_ROUNDED_LEAD = 0.05
"""Pressure on a rounded leading edge on its own frontal area [-] (from memory of Hoerner, 1965)."""


def fin_rows(
    fin: FinAir, area_m2: float, mach: float, reynolds_per_m: float
) -> tuple[DragSource, DragSource]:
    r"""Friction of a fin set, and what its edges drag.

    .. math::  C = \left( 0.72 \, b_{lead} (1 + M^2/4) + s_{base} \, b_{trail} \right) n t b / S

    Parameters
    ----------
    fin : FinAir
    area_m2 : float
        Vehicle reference area [m^2].
    mach, reynolds_per_m : float
        Flight Mach number [-] and Reynolds number per metre [1/m].

    Returns
    -------
    rows : tuple of DragSource
        On the reference area [-].

    Raises
    ------
    OutsideRange
        Above Mach 0.9.

    Notes
    -----
    A square leading edge has the squared cosine of its sweep as :math:`b_{lead}`, a rounded one 0.05 in
    all; of fins drawn in a mesh the squared sine at the shoulder of their own edges counts, and their
    trailing edge as far as it is torn off. 25 and 30 %.

    References
    ----------
    .. [1] S. F. Hoerner, Fluid-Dynamic Drag, 1965 (from memory, not re-read).
    .. [2] H. Schlichting, Boundary-Layer Theory, 7th ed. 1979.

    Examples
    --------
    >>> from finial.aero.body import body_air
    >>> from finial.shape.fin_set import FinSet
    >>> from finial.aero.fins.on_body import fin_air
    >>> from finial.aero.sections.outlines import ellipse, tapered_skin
    >>> tube = body_air(tapered_skin(lambda d: ellipse(d / 2, d / 2), [(0.0, 0.1), (1.0, 0.1)]))
    >>> square = np.array([[0.0, 0.0], [0.0, 0.1], [0.1, 0.1], [0.1, 0.0]])
    >>> four = FinSet(name="four", outline_m=square, station_m=0.8, root_radius_m=0.05, count=4,
    ...               first_at_rad=0.0, thickness_m=0.003)
    >>> [round(row.coefficient.value, 3) for row in fin_rows(fin_air(tube, [four])[0], 0.01, 0.3, 7e6)]
    [0.038, 0.104]
    """
    plan, fins = fin.planform, fin.fins
    edge_m2 = fins.count * fins.thickness_m * plan.span_m
    square_lead = float(np.cos(plan.lead_sweep_rad) ** 2)
    lead = FACE_PRESSURE * square_lead if fins.square_edges else _ROUNDED_LEAD
    if fins.lead_blunt is not None:
        lead = max(FACE_PRESSURE * fins.lead_blunt, _ROUNDED_LEAD)
    trail = 1.0 if fins.trail_blunt is None else _torn(fins.trail_blunt)
    along = acting_between(fins.station_m, fins.station_m + plan.root_chord_m)
    kind = DragKind.SQUARE_EDGES if fins.square_edges else DragKind.ROUNDED_EDGES
    return (
        DragSource(
            kind=DragKind.FIN_FRICTION,
            subject=fins.name,
            acts=along,
            coefficient=_rubbing(
                2 * fins.count * plan.area_m2 / area_m2, plan.mean_chord_m, mach, reynolds_per_m
            ),
        ),
        DragSource(
            kind=kind,
            subject=fins.name,
            acts=along,
            coefficient=_edges(edge_m2 / area_m2, lead, trail, mach),
        ),
    )


def ring_rows(
    ring: Ring, area_m2: float, mach: float, reynolds_per_m: float
) -> tuple[DragSource, DragSource]:
    """Friction of both walls of a ring, and what its edges drag; of a duct, what its mouth leaves off.

    Parameters
    ----------
    ring : Ring
    area_m2 : float
        Vehicle reference area [m^2].
    mach, reynolds_per_m : float
        Flight Mach number [-] and Reynolds number per metre [1/m].

    Returns
    -------
    rows : tuple of DragSource
        On the reference area [-].

    Raises
    ------
    OutsideRange
        Above Mach 0.9.

    Notes
    -----
    Edges taken as square, struts as walls; 25 and 30 %. Interference of ring and body is left out. A duct
    through the body rubs on its one wall; what was charged to its mouth as a full face, and to its end as
    a base, is taken off: half of the face, from nothing where no air comes through to all of both.

    References
    ----------
    .. [1] As ``fin_rows``.

    Examples
    --------
    >>> from finial.aero.sections.outlines import ellipse
    >>> ring = Ring(station_m=0.0, chord_m=0.1, loops=(ellipse(0.1, 0.1),), outer_m2=0.0314,
    ...             open_m2=0.022, inside_m2=0.007, wall_m2=0.002, wetted_m2=0.12)
    >>> [round(row.coefficient.value, 3) for row in ring_rows(ring, 0.01, 0.3, 7e6)]
    [0.057, 0.174]
    """
    along = acting_between(ring.station_m, ring.station_m + ring.chord_m)
    rubbing = DragSource(
        kind=DragKind.DUCT_FRICTION if ring.within else DragKind.RING_FRICTION,
        station_m=ring.station_m,
        acts=along,
        coefficient=_rubbing(ring.wetted_m2 / area_m2, ring.chord_m, mach, reynolds_per_m),
    )
    if ring.within:
        mouth = DragSource(
            kind=DragKind.DUCT_MOUTH,
            station_m=ring.station_m,
            acts=acting_at(ring.station_m),
            coefficient=_left_off(ring.open_m2 / area_m2, mach),
        )
        return rubbing, mouth
    return (
        rubbing,
        DragSource(
            kind=DragKind.RING_EDGES,
            station_m=ring.station_m,
            acts=along,
            coefficient=_edges(ring.wall_m2 / area_m2, FACE_PRESSURE, 1.0, mach),
        ),
    )


def _torn(blunt: float) -> float:
    """Share of a trailing edge that the air leaves, by the slope of its shoulder."""
    return float(torn_off(np.sqrt(np.array(blunt) / max(1.0 - blunt, 1e-9))))


def _rubbing(wetted: float, chord_m: float, mach: float, reynolds_per_m: float) -> Estimate:
    friction = float(surface_friction(max(reynolds_per_m * chord_m, 1e4), chord_m, 0.0))
    return spread(
        friction * wetted * friction_at_mach(mach),
        0.25,
        known_by=KnownBy.HANDBOOK,
        method="turbulent plate",
        source="Schlichting, Boundary-Layer Theory, 1979",
    )


def _left_off(opened: float, mach: float) -> Estimate:
    """Take off what a mouth and the end behind it drag less than full ones would."""
    face, base = FACE_PRESSURE * stagnation_rise(mach) * opened, base_drag_fit(mach) * opened
    return Estimate(
        value=-face / 2,
        low=-face - base,
        high=0.0,
        known_by=KnownBy.ASSUMED,
        method="half of what a full face drags; all of it with the base, or nothing",
        source="from nothing to all of the flow: a judgement of this project",
    )


def _edges(frontal: float, lead: float, trail: float, mach: float) -> Estimate:
    return spread(
        (lead * stagnation_rise(mach) + trail * base_drag_fit(mach)) * frontal,
        0.3,
        known_by=KnownBy.HANDBOOK,
        method="blunt leading and trailing edge",
        source=HOERNER,
    )
