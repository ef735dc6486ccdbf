"""Does the cord cut the tube: what a lip bears when a cord is pulled round it.

No limit for this has been published. The model here is stated in full, its interval is
wide, and a pull test on the builder's own lip replaces its strength.
"""

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from finial.core.doors import require_positive
from finial.core.errors import OutsideRange
from finial.core.estimates import Estimate, KnownBy

MODEL_SHARE = Estimate(
    value=1.0,
    low=0.5,
    high=1.5,
    known_by=KnownBy.ASSUMED,
    method="doubt of the lip model: half to one and a half; no published limit found",
)
TEST_SPREAD = 0.15
"""Scatter between lips of one print, when a single one was pulled [-]; assumed."""
CORD_FLATTENS_M = 1.0e-3
"""Half the thickness of webbing: how far past a sharp edge it still bears [m]; assumed."""
SHEAR_SHARE = 0.6
"""Shear over tensile strength of plastics and metals [-]; common practice."""
SHARP_EDGE_M = 0.2e-3
"""Edge radius of a lip as printed or sawn [m]; assumed."""
LEAST_BEND_RAD = math.radians(0.5)


@dataclass(frozen=True, slots=True, kw_only=True)
class Lip:
    """Edge of a tube where the cord bears on it."""

    wall_m: float
    cord_width_m: float
    """Width of the lip the cord bears on [m]."""
    edge_radius_m: float
    strength_pa: Estimate
    """Along the layers, or of plate and metal [Pa]."""
    between_layers_pa: Estimate | None = None
    """Across the layers [Pa]; ``None`` where there are no layers."""
    layers_across_tube: bool = False
    """True when a slit along the tube runs between two layers."""
    share: Estimate = MODEL_SHARE
    """What a real lip bears over what the model says [-]; a pull test narrows it."""

    @property
    def tear_strength_pa(self) -> Estimate:
        """Strength of the two tears beside the cord [Pa]."""
        if self.layers_across_tube and self.between_layers_pa is not None:
            return self.between_layers_pa
        return self.strength_pa


@dataclass(frozen=True, slots=True, kw_only=True)
class LipRing:
    """A ring in the mouth of a tube, for the cord to bear on."""

    wall_m: float
    edge_radius_m: float
    strength_pa: Estimate
    between_layers_pa: Estimate | None = None
    """Across the layers of a printed ring [Pa]; ``None`` where there are none."""


def lip_holds(lip: Lip, bend_rad: float) -> Estimate:
    r"""Tension at which the lip starts to tear.

    .. math::

        T (1 - \cos\theta) = \sigma w b, \qquad b = \min(t,\ R \theta + \delta), \qquad
        T |\sin\theta| = 2 \cdot 0.6\, \sigma_t\, t\, \tfrac{w}{2}

    The first bites into the edge, the second tears a tongue as wide as the cord and half as
    deep out of the wall; the weaker counts.

    Parameters
    ----------
    lip : Lip
        Wall :math:`t`, width :math:`w`, edge radius :math:`R` [m] and strengths [Pa].
    bend_rad : float
        Angle the cord bends by, :math:`\theta` [rad].

    Returns
    -------
    Estimate
        Tension in the cord [N]; never known better than assumed without a pull test.

    Raises
    ------
    OutsideRange
        If a size or strength is not positive or the bend is not within 0 to pi.

    Notes
    -----
    No published limit was found to check this against. Half to one and a half of it is
    assumed for the doubt. Left out: bending of the whole mouth out of round, old cracks,
    heat of the charge, friction, and what a slit does once it has begun.

    References
    ----------
    .. [1] Bearing and tear-out as of a bolt in a plate, common practice; no source for lips.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> tube = Lip(wall_m=0.0015, cord_width_m=0.025, edge_radius_m=0.0002, strength_pa=exact(50e6))
    >>> round(lip_holds(tube, math.pi / 2).value)
    1125
    """
    _refuse_lip(lip)
    _refuse_bend(bend_rad)
    value, low, high = (float(lip_holds_at(lip, bend_rad, end)) for end in ("value", "low", "high"))
    return Estimate(
        value=value,
        low=low,
        high=high,
        known_by=max(lip.share.known_by, lip.strength_pa.known_by),
        method="bearing and tear-out of the lip; " + lip.share.method,
        source=lip.share.source,
    )


def lip_holds_at(lip: Lip, bend_rad: ArrayLike, end: str = "low") -> NDArray[np.float64]:
    """Tension at which the lip starts to tear, for arrays of bends.

    Parameters
    ----------
    lip : Lip
        Sizes [m] and strengths [Pa].
    bend_rad : array_like
        Bends [rad], any shape.
    end : str
        ``low``, ``value`` or ``high`` end of the strengths.

    Returns
    -------
    ndarray
        Tension [N]; very large where the cord hardly bends.

    Raises
    ------
    Nothing of its own.

    Notes
    -----
    Range and error as ``lip_holds``.

    References
    ----------
    .. [1] As ``lip_holds``.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> tube = Lip(wall_m=0.0015, cord_width_m=0.025, edge_radius_m=0.0002, strength_pa=exact(50e6))
    >>> lip_holds_at(tube, [1.0, 2.0], "value").round().tolist()
    [1337.0, 1236.0]
    """
    bend = np.maximum(np.asarray(bend_rad, dtype=float), LEAST_BEND_RAD)
    bears = np.minimum(lip.wall_m, lip.edge_radius_m * bend + CORD_FLATTENS_M)
    bite = getattr(lip.strength_pa, end) * lip.cord_width_m * bears / (1 - np.cos(bend))
    tongue = SHEAR_SHARE * getattr(lip.tear_strength_pa, end) * lip.wall_m * lip.cord_width_m
    tear = tongue / np.maximum(np.abs(np.sin(bend)), 1e-9)
    return getattr(lip.share, end) * np.minimum(bite, tear)


def pull_tested(lip: Lip, tension_n: Estimate, bend_rad: float) -> Lip:
    r"""Lip with the strength that a pull test found.

    .. math::  \eta = T_{test} / T_{model}(\theta_{test})

    Parameters
    ----------
    lip : Lip
        Lip of the same print, wall and edge.
    tension_n : Estimate
        Tension at which it began to tear [N].
    bend_rad : float
        Bend of the cord in the test [rad].

    Returns
    -------
    Lip
        The same lip; its ``share`` is now measured.

    Raises
    ------
    OutsideRange
        If the tension or the bend is not positive.

    Notes
    -----
    One lip says little of the next: without a tolerance 15 % is assumed. A slow pull; a
    snatch may tear at less in brittle plastics.

    References
    ----------
    .. [1] Ratio of test to model.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> tube = Lip(wall_m=0.0015, cord_width_m=0.025, edge_radius_m=0.0002, strength_pa=exact(50e6))
    >>> round(lip_holds(pull_tested(tube, exact(800.0), math.pi / 2), math.pi / 2).value)
    800
    """
    require_positive(tension_n=tension_n.low, bend_rad=bend_rad)
    plain = replace(lip, share=replace(MODEL_SHARE, low=1.0, high=1.0))
    model = lip_holds(plain, bend_rad)
    half = max(tension_n.half_width / tension_n.value, TEST_SPREAD)
    # The strengths' own intervals go: the test has measured this very stuff.
    ratio = tension_n.value / model.value
    share = Estimate(
        value=ratio,
        low=ratio * (1 - half),
        high=ratio * (1 + half),
        known_by=KnownBy.MEASURED,
        method="pull test on a lip",
        source="the build sheet",
    )
    return replace(
        lip,
        share=share,
        strength_pa=_fixed(lip.strength_pa),
        between_layers_pa=lip.between_layers_pa and _fixed(lip.between_layers_pa),
    )


def behind_ring(lip: Lip, ring: LipRing) -> Lip:
    r"""Return a lip behind a ring: the ring takes the cord, and spreads it to the wall by its own thickness.

    .. math::  t = t_r + t_w \min(\sigma_w / \sigma_r, 1), \qquad w = w_c + 2 t_r

    Parameters
    ----------
    lip : Lip
        Wall :math:`t_w`, width of the cord :math:`w_c` [m] and strength of the wall [Pa].
    ring : LipRing
        Wall :math:`t_r`, edge radius [m] and strength of the ring [Pa].

    Returns
    -------
    Lip
        The lip with both walls counted as stuff of the ring.

    Raises
    ------
    OutsideRange
        If a size or a strength is not positive.

    Notes
    -----
    Holds for a ring that sits tight on the wall, glued or pressed; a loose one carries alone. The tube's
    wall counts as much of the ring's stuff as it is strong, and never more.

    References
    ----------
    .. [1] Transformed section of two materials, and a load that spreads at 45 degrees through a plate;
       common practice.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> tube = Lip(wall_m=0.002, cord_width_m=0.025, edge_radius_m=0.0002, strength_pa=exact(50e6))
    >>> ring = LipRing(wall_m=0.003, edge_radius_m=0.005, strength_pa=exact(250e6))
    >>> both = behind_ring(tube, ring)
    >>> round(both.wall_m, 4), round(both.cord_width_m, 3), both.edge_radius_m
    (0.0034, 0.031, 0.005)
    """
    require_positive(wall_m=ring.wall_m, edge_radius_m=ring.edge_radius_m, strength_pa=ring.strength_pa.low)
    worth = lip.strength_pa.value / ring.strength_pa.value
    return replace(
        lip,
        wall_m=ring.wall_m + lip.wall_m * min(worth, 1.0),
        cord_width_m=lip.cord_width_m + 2 * ring.wall_m,
        edge_radius_m=ring.edge_radius_m,
        strength_pa=ring.strength_pa,
        between_layers_pa=ring.between_layers_pa,
        layers_across_tube=False,
    )


def _fixed(strength: Estimate) -> Estimate:
    return replace(
        strength,
        low=strength.value,
        high=strength.value,
        known_by=KnownBy.MEASURED,
        method="pull test on a lip",
    )


def _refuse_lip(lip: Lip) -> None:
    require_positive(
        wall_m=lip.wall_m,
        cord_width_m=lip.cord_width_m,
        edge_radius_m=lip.edge_radius_m,
        strength_pa=lip.strength_pa.low,
        tear_strength_pa=lip.tear_strength_pa.low,
    )


def _refuse_bend(bend_rad: float) -> None:
    if not 0 <= bend_rad <= math.pi:
        raise OutsideRange(f"bend_rad = {bend_rad}: a cord bends by 0 to pi over a lip")
