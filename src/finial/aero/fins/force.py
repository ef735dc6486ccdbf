"""Force of a fin set at any angle: slope, stall, and the flat plate in the end."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from finial.aero.fins.across import fin_rolls
from finial.aero.fins.on_body import FIN_TAIL, FinAir
from finial.core.kept_parts import kept

PLATE_DRAG = 1.17
"""Drag of a broadside plate of low aspect ratio on its area [-] (from memory of Hoerner,
Fluid-Dynamic Drag, 1965)."""
STALL_EARLY, STALL_LATE = 0.8, 1.4
"""Fins may stall at so much of the angle they are taken to."""
EDGE_VORTEX = (0.3, 0.7, 1.0)
"""Share of the lift of edge vortices that fins get: near 0.9 on measured plates of aspect ratio 2,
half and more on the fins of a measured hull and a measured rocket."""
STALL_DRAG = 0.07
"""Axial force of a stalled fin on the area it shows [-], drawn through one measured set."""
_STALL_RAD = np.radians(21.0)
_STALL_RATIO = 1.75
_ROUNDED_LATE, _THICK = 1.3, 0.08
"""Rounded edges of fins thicker than this share of their chord keep the flow to a larger angle: those of a
measured hull, 0.2 thick, had not stalled at 18 degrees."""
_STALL_RAMP = 0.2
"""Stall comes on over this share of its angle before and after."""
_LEFT = 0.7
"""Share of the attached force that a stalled fin keeps."""
_SOFT = 4.0


def fin_force(
    fin: FinAir,
    reference_area_m2: float,
    alpha_rad: NDArray[np.float64],
    toward: NDArray[np.float64],
    mach: ArrayLike = 0.0,
    stall: float = 1.0,
) -> NDArray[np.float64]:
    r"""Force coefficient of a fin set along the cross wind over sin(alpha), limited by stall.

    .. math::  N = (1 - \sin^4\alpha) (1 - 0.3 s) \left( L^{-4} + C^{-4} \right)^{-1/4}
               + \sin^4\alpha \, C_{90}, \qquad L = C_{N\alpha} \sin\alpha |\cos\alpha|

    Parameters
    ----------
    fin : FinAir
    reference_area_m2 : float
        Vehicle reference area [m^2].
    alpha_rad : ndarray, shape (a, 1) or (a,)
        Angle of attack, 0 to pi [rad].
    toward : ndarray, shape (r, 2)
        Unit vectors of the cross wind [-].
    mach : array_like, shape () or (m, 1, 1)
        Mach numbers, 0 to 0.9 [-]; many at once lead the shape of what is returned.
    stall : float
        Angle of stall over the one it is taken to be [-].

    Returns
    -------
    force : ndarray, shape (a, r)
        On the vehicle's reference area [-].

    Notes
    -----
    The limit :math:`C` is the flat-plate force 1.17 on the area shown, raised by the same
    interference as the slope; :math:`s` is ``stalled_share``. Lift of side-edge vortices is not in
    it: real low-aspect fins pull harder between 10 and 30 degrees, see ``edge_vortex_force``.

    References
    ----------
    .. [1] S. F. Hoerner, Fluid-Dynamic Drag, 1965 (from memory): plates of low aspect ratio at 90 degrees.

    Examples
    --------
    >>> from finial.aero.sections.outlines import ellipse, tapered_skin
    >>> from finial.aero.body import body_air
    >>> from finial.shape.fin_set import FinSet
    >>> from finial.aero.fins.on_body import fin_air
    >>> tube = body_air(tapered_skin(lambda d: ellipse(d / 2, d / 2), [(0.0, 0.1), (1.0, 0.1)]))
    >>> outline = np.array([[0.0, 0.0], [0.09, 0.11], [0.18, 0.11], [0.18, 0.0]])
    >>> four = FinSet(name="four", outline_m=outline, station_m=0.8, root_radius_m=0.05, count=4,
    ...               first_at_rad=0.0, thickness_m=0.003)
    >>> fin = fin_air(tube, [four])[0]
    >>> at_zero = fin_force(fin, tube.reference_area_m2, np.array([0.0]), np.array([[1.0, 0.0]]))
    >>> bool(abs(at_zero[0, 0] - fin.slope_per_rad[0, 0]) < 1e-6)
    True
    """
    alpha = np.reshape(alpha_rad, (-1, 1))
    slope = np.einsum("ri,ij,rj->r", toward, fin.slope_per_rad, toward) * fin.mach_factor(mach)
    plate = PLATE_DRAG * np.einsum("ri,ij,rj->r", toward, fin.plate_area_m2, toward) / reference_area_m2
    attached = np.maximum(slope * np.abs(np.cos(alpha)), 1e-12)
    incompressible = slope / fin.mach_factor(mach)
    limit = np.maximum(PLATE_DRAG * incompressible / fin.lift.slope_per_rad, 1e-12)
    sine = np.maximum(np.sin(alpha), 1e-9)
    limited = attached * (1 + (attached * sine / limit) ** _SOFT) ** (-1 / _SOFT)
    limited = limited * (1.0 - (1.0 - _LEFT) * stalled_share(fin, alpha, toward, stall))
    broadside = sine**4
    return (1 - broadside) * limited + broadside * plate / sine


def stalled_share(
    fin: FinAir, alpha_rad: NDArray[np.float64], toward: NDArray[np.float64], stall: float = 1.0
) -> NDArray[np.float64]:
    r"""Share of a set's force that has stalled, each fin by the angle it meets; shape (a, r).

    .. math::  \sin i = K_W \sin\alpha \, |n \cdot e|, \qquad i_s = 21^\circ \sqrt{1.75 / AR}

    Parameters
    ----------
    fin : FinAir
    alpha_rad : ndarray, shape (a,)
        Angle of attack, 0 to pi [rad].
    toward : ndarray, shape (r, 2)
        Unit vectors of the cross wind [-].
    stall : float
        Angle of stall over :math:`i_s` [-].

    Returns
    -------
    share : ndarray, shape (a, r)
        0 to 1 [-].

    Notes
    -----
    Thin plates and fins with sharp edges; those of a measured rocket stalled between 12 and 16
    degrees with two fins across the wind and near 20 on the diagonal, plates of aspect ratio
    2 near 20. Thick rounded edges stall later by 1.3.

    References
    ----------
    .. [1] J. C. Ferris, NASA TN D-4013, 1967; see the measured vehicles on the accuracy page.
    .. [2] A. Pelletier, T. J. Mueller, J. Aircraft 37, 2000: plates of aspect ratio 2.

    Examples
    --------
    >>> from finial.aero.sections.outlines import ellipse, tapered_skin
    >>> from finial.aero.body import body_air
    >>> from finial.shape.fin_set import FinSet
    >>> from finial.aero.fins.on_body import fin_air
    >>> tube = body_air(tapered_skin(lambda d: ellipse(d / 2, d / 2), [(0.0, 0.1), (1.0, 0.1)]))
    >>> outline = np.array([[0.0, 0.0], [0.09, 0.11], [0.18, 0.11], [0.18, 0.0]])
    >>> four = FinSet(name="four", outline_m=outline, station_m=0.8, root_radius_m=0.05, count=4,
    ...               first_at_rad=0.0, thickness_m=0.003)
    >>> across = np.array([[1.0, 0.0], [0.5**0.5, 0.5**0.5]])
    >>> stalled_share(fin_air(tube, [four])[0], np.radians([5.0, 22.0]), across).round(1).tolist()
    [[0.0, 0.0], [1.0, 0.2]]
    """
    return _stalled(fin, np.ravel(alpha_rad), toward, stall)


# The table asks for it at each Mach number, and the band at each stall.
@kept(32)
def _stalled(
    fin: FinAir, alpha_rad: NDArray[np.float64], toward: NDArray[np.float64], stall: float
) -> NDArray[np.float64]:
    alpha = alpha_rad[:, None]
    rolls = fin_rolls(fin.fins)
    normals = np.column_stack([-np.sin(rolls), np.cos(rolls)])
    faces = np.abs(toward @ normals.T)
    meets = np.arcsin(np.minimum(fin.upwash * np.sin(alpha)[..., None] * faces, 1.0))
    fins = fin.fins
    thick = not fins.square_edges and fins.thickness_m > _THICK * fin.planform.mean_chord_m
    late = _ROUNDED_LATE if thick else 1.0
    begins = stall * late * _STALL_RAD * np.sqrt(_STALL_RATIO / fin.planform.aspect_ratio)
    ramp = np.clip((meets / begins - (1.0 - _STALL_RAMP)) / (2 * _STALL_RAMP), 0.0, 1.0)
    share = ramp**2 * (3.0 - 2.0 * ramp)
    weight = faces**2
    return np.sum(weight * share, axis=-1) / np.maximum(weight.sum(axis=-1), 1e-12)


def stall_drag(
    fin: FinAir, reference_area_m2: float, alpha_rad: NDArray[np.float64], toward: NDArray[np.float64]
) -> NDArray[np.float64]:
    r"""Axial force that stalled fins add.

    .. math::  C_A = 0.07 \, s \cos^2\alpha \, S_{shown} / S

    Parameters
    ----------
    fin : FinAir
    reference_area_m2 : float
        Vehicle reference area [m^2].
    alpha_rad : ndarray, shape (a,)
        Angle of attack, 0 to pi [rad].
    toward : ndarray, shape (r, 2)
        Unit vectors of the cross wind [-].

    Returns
    -------
    drag : ndarray, shape (a, r)
        On the vehicle's reference area [-].

    Notes
    -----
    ``stalled_share`` is :math:`s`; drawn through one measured set, from nothing to 0.12 elsewhere.
    Nothing where the base leads.

    References
    ----------
    .. [1] J. C. Ferris, NASA TN D-4013, 1967, figure 7: 0.2 on the body's section.

    Examples
    --------
    >>> from finial.aero.body import body_air
    >>> from finial.shape.fin_set import FinSet
    >>> from finial.aero.fins.on_body import fin_air
    >>> from finial.aero.sections.outlines import ellipse, tapered_skin
    >>> tube = body_air(tapered_skin(lambda d: ellipse(d / 2, d / 2), [(0.0, 0.1), (1.0, 0.1)]))
    >>> outline = np.array([[0.0, 0.0], [0.09, 0.11], [0.18, 0.11], [0.18, 0.0]])
    >>> four = FinSet(name="four", outline_m=outline, station_m=0.8, root_radius_m=0.05, count=4,
    ...               first_at_rad=0.0, thickness_m=0.003)
    >>> wind = np.radians([0.0, 25.0]), np.array([[1.0, 0.0]])
    >>> stall_drag(fin_air(tube, [four])[0], tube.reference_area_m2, *wind).round(2).tolist()
    [[0.0], [0.22]]
    """
    shown = np.einsum("ri,ij,rj->r", toward, fin.plate_area_m2, toward) / reference_area_m2
    ahead = np.maximum(np.cos(np.reshape(alpha_rad, (-1, 1))), 0.0) ** 2
    return STALL_DRAG * shown * stalled_share(fin, alpha_rad, toward) * ahead


def edge_vortex_force(
    fin: FinAir,
    reference_area_m2: float,
    alpha_rad: NDArray[np.float64],
    toward: NDArray[np.float64],
    stall: float = 1.0,
) -> NDArray[np.float64]:
    r"""Most that vortices of the fins' edges may add to their force, over sin(alpha).

    .. math::  N_v = \pi \sin^2\alpha \cos\alpha \, (1 - s) \, S_{shown} / S

    Parameters
    ----------
    fin : FinAir
    reference_area_m2 : float
        Vehicle reference area [m^2].
    alpha_rad : ndarray, shape (a,)
        Angle of attack, 0 to pi [rad].
    toward : ndarray, shape (r, 2)
        Unit vectors of the cross wind [-].
    stall : float
        Angle of stall over the one it is taken to be [-].

    Returns
    -------
    force : ndarray, shape (a, r)
        On the vehicle's reference area [-]; fins get a share of it, ``EDGE_VORTEX``.

    Notes
    -----
    By the suction analogy the lost edge suction turns into normal force; pi is its factor for
    slender deltas, and rectangles have less. It goes where the fin stalls, by the share :math:`s`.

    References
    ----------
    .. [1] E. C. Polhamus, NASA TN D-3767, 1966 (from memory).

    Examples
    --------
    >>> from finial.aero.sections.outlines import ellipse, tapered_skin
    >>> from finial.aero.body import body_air
    >>> from finial.shape.fin_set import FinSet
    >>> from finial.aero.fins.on_body import fin_air
    >>> tube = body_air(tapered_skin(lambda d: ellipse(d / 2, d / 2), [(0.0, 0.1), (1.0, 0.1)]))
    >>> outline = np.array([[0.0, 0.0], [0.09, 0.11], [0.18, 0.11], [0.18, 0.0]])
    >>> four = FinSet(name="four", outline_m=outline, station_m=0.8, root_radius_m=0.05, count=4,
    ...               first_at_rad=0.0, thickness_m=0.003)
    >>> wind = np.radians([0.0, 10.0]), np.array([[1.0, 0.0]])
    >>> edge_vortex_force(fin_air(tube, [four])[0], tube.reference_area_m2, *wind).round(1).tolist()
    [[0.0], [2.0]]
    """
    alpha = np.reshape(alpha_rad, (-1, 1))
    shown = np.einsum("ri,ij,rj->r", toward, fin.plate_area_m2, toward) / reference_area_m2
    whole = np.pi * np.sin(alpha) * np.maximum(np.cos(alpha), 0.0) * shown * (1.0 - fin.sheltered)
    return whole * (1.0 - stalled_share(fin, alpha, toward, stall))


def tail_force(
    fin: FinAir, alpha_rad: NDArray[np.float64], toward: NDArray[np.float64], mach: ArrayLike = 0.0
) -> NDArray[np.float64]:
    r"""Most that a body narrowing under its fins may add to their force, over sin(alpha).

    .. math::  N_t = C_{N\alpha,t} \cos\alpha

    Parameters
    ----------
    fin : FinAir
    alpha_rad : ndarray, shape (a,)
        Angle of attack, 0 to pi [rad].
    toward : ndarray, shape (r, 2)
        Unit vectors of the cross wind [-].
    mach : array_like, shape () or (m, 1, 1)
        Mach numbers, 0 to 0.9 [-]; many at once lead the shape of what is returned.

    Returns
    -------
    force : ndarray, shape (a, r)
        On the vehicle's reference area [-]; fins get a share of it, ``FIN_TAIL``.

    Notes
    -----
    Slender-body theory with the air following the tail; of a measured rocket's fins none of it was
    seen below 4 degrees.

    References
    ----------
    .. [1] A. E. Bryson, J. Aeronautical Sciences 20, 1953 (from memory).

    Examples
    --------
    A straight tube adds nothing.

    >>> from finial.aero.body import body_air
    >>> from finial.shape.fin_set import FinSet
    >>> from finial.aero.fins.on_body import fin_air
    >>> from finial.aero.sections.outlines import ellipse, tapered_skin
    >>> tube = body_air(tapered_skin(lambda d: ellipse(d / 2, d / 2), [(0.0, 0.1), (1.0, 0.1)]))
    >>> outline = np.array([[0.0, 0.0], [0.09, 0.11], [0.18, 0.11], [0.18, 0.0]])
    >>> four = FinSet(name="four", outline_m=outline, station_m=0.8, root_radius_m=0.05, count=4,
    ...               first_at_rad=0.0, thickness_m=0.003)
    >>> tail_force(fin_air(tube, [four])[0], np.zeros(1), np.array([[1.0, 0.0]])).tolist()
    [[0.0]]
    """
    along = np.einsum("ri,ij,rj->r", toward, fin.tail_slope_per_rad, toward)
    ahead = np.maximum(np.cos(np.reshape(alpha_rad, (-1, 1))), 0.0)
    return along * ahead * fin.mach_factor(mach)


def usual_fin_loads(
    fin: FinAir,
    reference_area_m2: float,
    alpha_rad: NDArray[np.float64],
    toward: NDArray[np.float64],
    mach: ArrayLike = 0.0,
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    r"""Central guess of a set's force, over sin(alpha), and of its first moment about the tip.

    .. math::  N = k N_{fins} + 0.5 N_t + 0.7 N_v

    Parameters
    ----------
    fin : FinAir
    reference_area_m2 : float
        Vehicle reference area [m^2].
    alpha_rad : ndarray, shape (a,)
        Angle of attack, 0 to pi [rad].
    toward : ndarray, shape (r, 2)
        Unit vectors of the cross wind [-].
    mach : array_like, shape () or (m, 1, 1)
        Mach numbers, 0 to 0.9 [-]; many at once lead the shape of what is returned.

    Returns
    -------
    force : ndarray, shape (a, r)
        On the vehicle's reference area [-].
    moment_m : ndarray, shape (a, r)
        Positive aft [m].

    Notes
    -----
    Edge vortices act at the centre of the fins' area. On a measured rocket at Mach 0.6 from 2 to 20
    degrees within 15 % of the force with fins, and within 0.7 diameters of its centre but for the
    smallest angle.

    References
    ----------
    .. [1] The parts: ``fin_force``, ``tail_force``, ``edge_vortex_force``.

    Examples
    --------
    >>> from finial.aero.body import body_air
    >>> from finial.shape.fin_set import FinSet
    >>> from finial.aero.fins.on_body import fin_air
    >>> from finial.aero.sections.outlines import ellipse, tapered_skin
    >>> tube = body_air(tapered_skin(lambda d: ellipse(d / 2, d / 2), [(0.0, 0.1), (1.0, 0.1)]))
    >>> outline = np.array([[0.0, 0.0], [0.09, 0.11], [0.18, 0.11], [0.18, 0.0]])
    >>> four = FinSet(name="four", outline_m=outline, station_m=0.8, root_radius_m=0.05, count=4,
    ...               first_at_rad=0.0, thickness_m=0.003)
    >>> wind = np.zeros(1), np.array([[1.0, 0.0]])
    >>> force, moment_m = usual_fin_loads(fin_air(tube, [four])[0], tube.reference_area_m2, *wind)
    >>> round(float(moment_m[0, 0] / force[0, 0]), 2)
    0.87
    """
    lifted = fin.factor_at(alpha_rad)[1][:, None] * fin_force(fin, reference_area_m2, alpha_rad, toward, mach)
    tail = FIN_TAIL[1] * tail_force(fin, alpha_rad, toward, mach)
    rolled = EDGE_VORTEX[1] * edge_vortex_force(fin, reference_area_m2, alpha_rad, toward)
    moment = lifted * fin_station(fin, alpha_rad)[:, None] + tail * fin.centre_m + rolled * fin.broadside_m
    return lifted + tail + rolled, moment


def fin_station(fin: FinAir, alpha_rad: NDArray[np.float64]) -> NDArray[np.float64]:
    r"""Station of a fin set's force, sliding to the area's centre at 90 degrees.

    .. math::  x = x_0 + (x_{90} - x_0) \sin^2\alpha

    Parameters
    ----------
    fin : FinAir
    alpha_rad : ndarray, shape (a,)
        Angle of attack, 0 to pi [rad].

    Returns
    -------
    station_m : ndarray, shape (a,)
        Distance aft of the tip [m].

    Notes
    -----
    Beyond 90 degrees the end at small angles is that in flow from the base.

    References
    ----------
    .. [1] Judgement: both ends are known, between them nothing.

    Examples
    --------
    >>> from finial.aero.body import body_air
    >>> from finial.shape.fin_set import FinSet
    >>> from finial.aero.fins.on_body import fin_air
    >>> from finial.aero.sections.outlines import ellipse, tapered_skin
    >>> tube = body_air(tapered_skin(lambda d: ellipse(d / 2, d / 2), [(0.0, 0.1), (1.0, 0.1)]))
    >>> outline = np.array([[0.0, 0.0], [0.09, 0.11], [0.18, 0.11], [0.18, 0.0]])
    >>> four = FinSet(name="four", outline_m=outline, station_m=0.8, root_radius_m=0.05, count=4,
    ...               first_at_rad=0.0, thickness_m=0.003)
    >>> fin_station(fin_air(tube, [four])[0], np.radians([0.0, 90.0])).round(3).tolist()
    [0.87, 0.91]
    """
    alpha = np.asarray(alpha_rad, dtype=float)
    end = np.where(alpha <= np.pi / 2, fin.centre_m, fin.rear_centre_m)
    return end + (fin.broadside_m - end) * np.sin(alpha) ** 2
