"""Air loads of fin sets on the actual body section: the fast part."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import gcd

import numpy as np
from numpy.typing import ArrayLike, NDArray

from finial.aero.body import BodyAir
from finial.aero.fins.fin_set import FinSet
from finial.aero.fins.lattice import FinLift, lattice_lift
from finial.aero.fins.planform import Planform, fin_planform
from finial.aero.fins.plate_lift import diederich_slope
from finial.aero.sections.added_mass import added_mass_tensor
from finial.aero.sections.symmetry import is_even
from finial.core.errors import OutsideRange

PLATE_DRAG = 1.17
"""Drag of a broadside plate of low aspect ratio on its area [-] (from memory of Hoerner,
Fluid-Dynamic Drag, 1965)."""
FIN_FACTOR = (0.88, 1.04)
"""Fin force against this method: carry-over lost behind the base takes up to 11 %, section
theory is 10 % high on corners, the lattice within 5 %."""
_SOFT = 4.0


@dataclass(frozen=True, slots=True, kw_only=True)
class FinAir:
    """Air loads of one fin set with what it induces on the body."""

    fins: FinSet
    planform: Planform
    lift: FinLift
    slope_per_rad: NDArray[np.float64]
    """Normal force slope on the vehicle's reference area at Mach 0, shape (2, 2) [1/rad]."""
    plate_area_m2: NDArray[np.float64]
    """Area shown to a cross wind, as a tensor: sum of fin area times normal normal^T."""
    centre_m: float
    """Station of the force at small angles [m]."""
    broadside_m: float
    """Station of the force at 90 degrees [m]."""
    rear_centre_m: float
    """Station of the force in flow from the base [m]."""
    sheltered: float
    """Share of the fin's area that lies in the dead air behind a step [-]."""
    washed: float
    """Share of the force that the wake of fins ahead may take away [-]."""
    cant_moment: float
    """Roll moment coefficient from cant, per width, at Mach 0 [-]."""
    roll_damping: float
    """d(roll moment coefficient) / d(rate width / (2 V)) at Mach 0 [-], negative."""

    @property
    def factor(self) -> tuple[float, float, float]:
        """Low, central and high factor on the fin force [-].

        Dead air at the root takes more than the area in it: the rest stands without the body's
        help. On a measured hull 0.3 of the force was left with 0.4 of the area sheltered.
        """
        free = 1.0 - self.sheltered
        low, high = FIN_FACTOR
        return low * free**2.5 * (1.0 - self.washed), free**2 * (1.0 - self.washed / 2), high

    def mach_factor(self, mach: ArrayLike) -> NDArray[np.float64]:
        """Lift slope at a Mach number over that at Mach 0.

        Parameters
        ----------
        mach : array_like, shape (...)
            Mach number [-].

        Returns
        -------
        factor : ndarray, shape (...)
            Factor [-].

        Raises
        ------
        OutsideRange
            Above Mach 0.9.

        Notes
        -----
        Of the flat plate of the same aspect ratio and sweep, the body left out; from Mach 0.8 on too hopeful.

        References
        ----------
        .. [1] As ``diederich_slope``.

        Examples
        --------
        >>> from finial.aero.body import body_air
        >>> from finial.aero.sections.outlines import ellipse, tapered_skin
        >>> tube = body_air(tapered_skin(lambda d: ellipse(d / 2, d / 2), [(0.0, 0.1), (1.0, 0.1)]))
        >>> square = np.array([[0.0, 0.0], [0.0, 0.1], [0.1, 0.1], [0.1, 0.0]])
        >>> four = FinSet(name="four", outline_m=square, station_m=0.8, root_radius_m=0.05, count=4,
        ...               first_at_rad=0.0, thickness_m=0.003)
        >>> fin_air(tube, [four])[0].mach_factor([0.0, 0.6]).round(3).tolist()
        [1.0, 1.059]
        """
        ratio, sweep = self.planform.aspect_ratio, self.planform.mid_chord_sweep_rad
        return diederich_slope(ratio, sweep, mach) / diederich_slope(ratio, sweep)


def _fin_rolls(fins: FinSet) -> NDArray[np.float64]:
    return fins.first_at_rad + 2 * np.pi * np.arange(fins.count) / fins.count


def _reach(loops: Sequence[NDArray[np.float64]], direction: NDArray[np.float64]) -> float:
    """Distance from the axis to where a ray last leaves the outlines [m]; 0 if it misses."""
    farthest = 0.0
    aside = np.array([-direction[1], direction[0]])
    for loop in loops:
        ahead, across = loop @ direction, loop @ aside
        next_ahead, next_across = np.roll(ahead, -1), np.roll(across, -1)
        crosses = (across <= 0) != (next_across <= 0)
        share = across[crosses] / (across[crosses] - next_across[crosses])
        hits = ahead[crosses] + share * (next_ahead[crosses] - ahead[crosses])
        farthest = max(farthest, float(hits.max(initial=0.0)))
    return farthest


def fin_plates(fins: FinSet, loops: Sequence[NDArray[np.float64]]) -> list[NDArray[np.float64]]:
    """Fins as lines from the skin to their tips, in the section's plane.

    Parameters
    ----------
    fins : FinSet
        The set.
    loops : sequence of ndarray, each shape (n, 2)
        Outer outlines of the section the fins stand on [m].

    Returns
    -------
    plates : list of ndarray, each shape (2, 2)
        Root and tip of each fin [m]; none for a fin that ends inside the skin.

    Notes
    -----
    Exact for fins that stand radially.

    References
    ----------
    .. [1] Plain geometry.

    Examples
    --------
    >>> from finial.aero.sections.outlines import regular_polygon
    >>> outline = np.array([[0.0, 0.0], [0.0, 1.0], [1.0, 1.0], [1.0, 0.0]])
    >>> two = FinSet(name="two", outline_m=outline, station_m=8.0, root_radius_m=1.0, count=2,
    ...              first_at_rad=0.0, thickness_m=0.01)
    >>> fin_plates(two, [regular_polygon(4, 2.0, np.pi / 4)])[0].round(9).tolist()
    [[1.0, 0.0], [2.0, 0.0]]
    """
    tip = fins.root_radius_m + float(fins.outline_m[:, 1].max())
    plates = []
    for roll in _fin_rolls(fins):
        direction = np.array([np.cos(roll), np.sin(roll)])
        root = _reach(loops, direction)
        if root < tip * (1 - 1e-6):
            plates.append(np.array([root * direction, tip * direction]))
    return plates


def _section_index(body: BodyAir, fins: FinSet) -> int:
    """Section the fins stand on: at the aft end of their largest reach."""
    outline = fins.outline_m
    widest = outline[:, 1] > 0.98 * outline[:, 1].max()
    station = fins.station_m + float(outline[widest, 0].max())
    inside = np.flatnonzero(body.stations_m <= station + 1e-9)
    return int(inside[-1]) if len(inside) else 0


def gained_added_mass(body: BodyAir, sets: Sequence[FinSet]) -> NDArray[np.float64]:
    """Return added mass with fins minus without, on the section they stand on.

    Parameters
    ----------
    body : BodyAir
        The bare body.
    sets : sequence of FinSet
        Fin sets that stand at one place of the body.

    Returns
    -------
    gained_m2 : ndarray, shape (2, 2)
        Added mass per density [m^2].

    Raises
    ------
    OutsideRange
        If a coordinate is not finite.
    MeshError
        If the section has no size.

    Notes
    -----
    All sets count at the section under the aft end of the widest reach of the rearmost. Error of
    ``added_mass_tensor``, 0.3 % on squares with fins.

    References
    ----------
    .. [1] A. E. Bryson, J. Aeronautical Sciences 20, 1953 (from memory): slender bodies with fins.

    Examples
    --------
    Four fins twice as far out as a round body: ``pi s^2 (0.8125 - 0.25)``.

    >>> from finial.aero.sections.outlines import ellipse, tapered_skin
    >>> from finial.aero.body import body_air
    >>> tube = body_air(tapered_skin(lambda d: ellipse(d / 2, d / 2), [(0.0, 2.0), (9.0, 2.0)]))
    >>> outline = np.array([[0.0, 0.0], [0.0, 1.0], [1.0, 1.0], [1.0, 0.0]])
    >>> four = FinSet(name="four", outline_m=outline, station_m=8.0, root_radius_m=1.0, count=4,
    ...               first_at_rad=0.0, thickness_m=0.01)
    >>> round(float(gained_added_mass(tube, [four])[0, 0]) / np.pi / 4, 2)
    0.56
    """
    index = max(_section_index(body, fins) for fins in sets)
    loops = body.skin.sections[index].loops
    plates = [plate for fins in sets for plate in fin_plates(fins, loops)]
    if not plates:
        return np.zeros((2, 2))
    return added_mass_tensor(loops, plates) - body.tensors_m2[index]


def _overlapping(sets: Sequence[FinSet]) -> list[list[int]]:
    """Group fin sets whose stations overlap."""
    groups: list[list[int]] = []
    reach = -np.inf
    for index in sorted(range(len(sets)), key=lambda i: sets[i].station_m):
        fins = sets[index]
        if groups and fins.station_m < reach:
            groups[-1].append(index)
        else:
            groups.append([index])
        reach = max(reach, fins.station_m + float(fins.outline_m[:, 0].max()))
    return groups


def _sheltered_share(body: BodyAir, fins: FinSet, planform: Planform) -> float:
    """Share of the fin's area below the dividing streamline of a step ahead of it."""
    middle = fins.station_m + planform.leads_m + planform.chords_m / 2
    depth = np.interp(middle, body.stations_m, body.growth.sheltered_m, right=0.0)
    hidden = planform.outwards_m < depth
    return float(planform.chords_m[hidden].sum() / planform.chords_m.sum())


def fin_air(body: BodyAir, sets: Sequence[FinSet]) -> tuple[FinAir, ...]:
    r"""Air loads of fin sets on a body whose own loads are known already.

    .. math::  C_{N\alpha} = \frac{2 \, \Delta A}{S} \cdot \frac{C_{L\alpha}}{\pi AR / 2}

    Parameters
    ----------
    body : BodyAir
        The bare body.
    sets : sequence of FinSet
        Fin sets; sets whose stations overlap share one added mass.

    Returns
    -------
    loads : tuple of FinAir
        In the order given.

    Raises
    ------
    OutsideRange
        If a set has no fins or its outline is unusable.
    MeshError
        If the section a set stands on has no size.

    Notes
    -----
    :math:`\Delta A` is added mass with minus without fins on the real section, so any
    body, any number of fins and any roll angle go the same way. Against three-dimensional
    potential flow 1 to 6 % high on round bodies, 10 % high on the corners of square ones;
    carry-over lost behind the base takes 1 to 11 %. Fins behind other fins may lose what
    the air sinks behind those: half of it is the central guess. Wash on the other side of
    the body is left out.

    References
    ----------
    .. [1] W. C. Pitts, J. N. Nielsen, G. E. Kaattari, NACA Report 1307, 1957 (from memory).
    .. [2] A. E. Bryson, J. Aeronautical Sciences 20, 1953 (from memory).

    Examples
    --------
    >>> from finial.aero.sections.outlines import ellipse, tapered_skin
    >>> from finial.aero.body import body_air
    >>> tube = body_air(tapered_skin(lambda d: ellipse(d / 2, d / 2), [(0.0, 0.1), (1.0, 0.1)]))
    >>> outline = np.array([[0.0, 0.0], [0.09, 0.11], [0.18, 0.11], [0.18, 0.0]])
    >>> four = FinSet(name="four", outline_m=outline, station_m=0.8, root_radius_m=0.05, count=4,
    ...               first_at_rad=0.0, thickness_m=0.003)
    >>> round(float(fin_air(tube, [four])[0].slope_per_rad[0, 0]), 1)
    14.0
    """
    for fins in sets:
        if fins.count < 1:
            raise OutsideRange(f"fin set {fins.name!r} has no fins")
    planforms = [fin_planform(fins.outline_m) for fins in sets]
    gained = [gained_added_mass(body, [fins]) for fins in sets]
    for group in _overlapping(sets):
        if len(group) > 1:
            together = np.trace(gained_added_mass(body, [sets[i] for i in group]))
            share = together / max(sum(np.trace(gained[i]) for i in group), 1e-300)
            for i in group:
                gained[i] = gained[i] * share
    loads = [
        _one_set(body, fins, plan, more) for fins, plan, more in zip(sets, planforms, gained, strict=True)
    ]
    return tuple(replace(each, washed=_washed(each, loads)) for each in loads)


def _washed(fin: FinAir, loads: Sequence[FinAir]) -> float:
    r"""Share of a set's force that the wake of sets ahead of it may take away, at most.

    Far behind a lifting surface the air sinks at ``2 slope / (pi aspect ratio)`` of the angle,
    over its own span and no farther (from memory of lifting-line theory).
    """
    reach = fin.fins.root_radius_m + fin.planform.span_m
    most = 0.0
    for ahead in loads:
        if ahead.fins.station_m + float(ahead.fins.outline_m[:, 0].max()) > fin.fins.station_m:
            continue
        sinks = 2.0 * ahead.lift.slope_per_rad / (np.pi * ahead.planform.aspect_ratio)
        span = ahead.fins.root_radius_m + ahead.planform.span_m
        most = max(most, float(min(sinks, 1.0) * min(span / reach, 1.0) ** 2))
    return most


def _one_set(body: BodyAir, fins: FinSet, planform: Planform, gained_m2: NDArray[np.float64]) -> FinAir:
    lift = lattice_lift(fins.outline_m)
    area, width = body.reference_area_m2, body.width_m
    efficiency = lift.slope_per_rad / (np.pi * planform.aspect_ratio / 2)
    normals = np.array([[-np.sin(roll), np.cos(roll)] for roll in _fin_rolls(fins)])
    centre = fins.station_m + lift.centre_aft_m
    broadside = fins.station_m + planform.centroid_m[0]
    root, out = fins.root_radius_m, lift.centre_outward_m
    whole = fins.count * planform.area_m2 * lift.slope_per_rad / area
    return FinAir(
        fins=fins,
        planform=planform,
        lift=lift,
        slope_per_rad=2.0 * gained_m2 / area * efficiency,
        plate_area_m2=planform.area_m2 * normals.T @ normals,
        centre_m=centre,
        broadside_m=broadside,
        rear_centre_m=2 * broadside - centre,
        sheltered=_sheltered_share(body, fins, planform),
        washed=0.0,
        cant_moment=whole * fins.cant_rad * (root + out) / width,
        roll_damping=-2 * whole * (root**2 + 2 * root * out + lift.rolling_arm_m2) / width**2,
    )


def loads_repeat(body: BodyAir, fins: Sequence[FinAir]) -> int:
    """How often the loads of body and fins repeat in one turn.

    Parameters
    ----------
    body : BodyAir
        The bare body.
    fins : sequence of FinAir
        Fin sets on it.

    Returns
    -------
    repeats : int
        1 where nothing repeats.

    Notes
    -----
    Three fins or more, evenly spaced, pull alike in every direction; two or uneven ones do not. Exact to the
    panels' own error.

    References
    ----------
    .. [1] Symmetry of second-rank tensors: more than twofold in the plane means even.

    Examples
    --------
    >>> from finial.aero.sections.outlines import ellipse, tapered_skin
    >>> from finial.aero.body import body_air
    >>> tube = body_air(tapered_skin(lambda d: ellipse(d / 2, d / 2), [(0.0, 0.1), (1.0, 0.1)]))
    >>> loads_repeat(tube, ())
    144
    """
    tensors = [each for fin in fins for each in (fin.slope_per_rad, fin.plate_area_m2)]
    even = all(is_even(tensor[None]) for tensor in tensors)
    return body.repeats if even else gcd(body.repeats, 2)


def fin_force(
    fin: FinAir,
    reference_area_m2: float,
    alpha_rad: NDArray[np.float64],
    toward: NDArray[np.float64],
    mach: ArrayLike = 0.0,
) -> NDArray[np.float64]:
    r"""Force coefficient of a fin set along the cross wind over sin(alpha), limited by stall.

    .. math::  N = (1 - \sin^4\alpha) \left( L^{-4} + C^{-4} \right)^{-1/4} + \sin^4\alpha \, C_{90}, \qquad
               L = C_{N\alpha} \sin\alpha |\cos\alpha|

    Parameters
    ----------
    fin : FinAir
    reference_area_m2 : float
        Vehicle reference area [m^2].
    alpha_rad : ndarray, shape (a, 1) or (a,)
        Angle of attack, 0 to pi [rad].
    toward : ndarray, shape (r, 2)
        Unit vectors of the cross wind.
    mach : array_like
        One Mach number [-].

    Returns
    -------
    force : ndarray, shape (a, r)

    Raises
    ------
    OutsideRange
        Above Mach 0.9.

    Notes
    -----
    The limit :math:`C` is the flat-plate force 1.17 on the area shown, raised by the same
    interference as the slope. Lift of side-edge vortices is not in it: real low-aspect
    fins pull harder between 10 and 30 degrees, see ``edge_vortex_force``.

    References
    ----------
    .. [1] S. F. Hoerner, Fluid-Dynamic Drag, 1965 (from memory): plates of low aspect ratio at 90 degrees.

    Examples
    --------
    >>> from finial.aero.sections.outlines import ellipse, tapered_skin
    >>> from finial.aero.body import body_air
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
    stalled = np.maximum(PLATE_DRAG * incompressible / fin.lift.slope_per_rad, 1e-12)
    sine = np.maximum(np.sin(alpha), 1e-9)
    limited = attached * (1 + (attached * sine / stalled) ** _SOFT) ** (-1 / _SOFT)
    broadside = sine**4
    return (1 - broadside) * limited + broadside * plate / sine


def edge_vortex_force(
    fin: FinAir, reference_area_m2: float, alpha_rad: NDArray[np.float64], toward: NDArray[np.float64]
) -> NDArray[np.float64]:
    r"""Most that vortices of the fins' edges may add to their force, over sin(alpha).

    .. math::  N_v = \pi \sin^2\alpha \cos\alpha \, S_{shown} / S

    By the suction analogy the lost edge suction turns into normal force; pi is its factor for
    slender deltas, and rectangles have less (from memory of E. C. Polhamus, NASA TN D-3767,
    1966). Fins at the root of a body may burst theirs early, so that none is the central guess.

    Examples
    --------
    See ``pressure_band``, which counts it from nothing to all.
    """
    alpha = np.reshape(alpha_rad, (-1, 1))
    shown = np.einsum("ri,ij,rj->r", toward, fin.plate_area_m2, toward) / reference_area_m2
    return np.pi * np.sin(alpha) * np.maximum(np.cos(alpha), 0.0) * shown * (1.0 - fin.sheltered)


def fin_station(fin: FinAir, alpha_rad: NDArray[np.float64]) -> NDArray[np.float64]:
    """Station of a fin set's force [m], sliding to the area's centre at 90 degrees."""
    alpha = np.asarray(alpha_rad, dtype=float)
    end = np.where(alpha <= np.pi / 2, fin.centre_m, fin.rear_centre_m)
    return end + (fin.broadside_m - end) * np.sin(alpha) ** 2
