"""Air loads of fin sets on the actual body section: the fast part."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import gcd

import numpy as np
from numpy.typing import ArrayLike, NDArray

from finial.aero.body import BodyAir
from finial.aero.fins.across import fin_plates, fin_rolls
from finial.aero.fins.behind_front import behind_front
from finial.aero.fins.dulled import Dulled, beside_body, dulled_by
from finial.aero.plates.lattice import FinLift, lattice_lift
from finial.aero.plates.planform import Planform, fin_planform
from finial.aero.plates.plate_lift import diederich_slope
from finial.aero.sections.added_mass import added_mass_tensor
from finial.aero.sections.symmetry import is_even
from finial.aero.steps.separation import reached
from finial.core.errors import OutsideRange
from finial.core.kept_parts import kept
from finial.shape.fin_set import FinSet

FIN_FACTOR = (0.93, 1.04)
"""Fin force against this method: section theory is 10 % high on corners, the lattice within 5 %."""
LAYER_ERROR, BASE_ERROR = 2.0, 1.5
"""What the boundary layer and the base take may be so many times what they are taken to take."""
LAYER_LEAST = 0.5
"""The boundary layer takes at least so many times what it is taken to take; from 1e6 to 2e7 its thickness
stays within 0.8 to 1.4 of it."""
TAIL_LOSS = (0.35, 0.2)
"""What fins on or just ahead of a narrowing tail may lose on top, and usually do at small angles: half of
their force is left at least. By the moments of one measured body, 0.57 to 0.72 at 2 degrees, all at 12."""
FIN_TAIL = (0.0, 0.5, 1.0)
"""Share of what fins would gain if the air followed a body that narrows under them: the force grows
between their leading edge, where nothing is gained yet, and their trailing edge."""
_WHOLE = 0.02
"""Sections that lie below the fall of 25 degrees from a lip by less than this share are whole."""
_SWEPT_AWAY, _SWEPT_BY_RAD = 0.6, np.radians(12.0)
"""Share of the slow air that no longer stands at the fins from so large an angle on: force per angle
of the fins of a measured rocket grows up to 12 degrees."""

Factors = tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FinAir:
    """Air loads of one fin set with what it induces on the body; equal only to itself."""

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
    dulled: Dulled
    """What slow air along the body and the base behind take of the force."""
    fronted: tuple[float, float, float]
    """Share of the force that bubbles behind blunt fronts take: least, usual, most [-]."""
    tail_slope_per_rad: NDArray[np.float64]
    """Slope to add if the air follows a body that narrows under the fins, shape (2, 2) [1/rad]."""
    upwash: float
    """Angle that the fins meet beside the body over the body's own [-]."""
    roll_per_cant: float
    """d(roll moment coefficient, per width) / d(cant) at Mach 0 [1/rad]."""
    roll_damping: float
    """d(roll moment coefficient) / d(rate width / (2 V)) at Mach 0 [-], negative."""

    @property
    def cant_moment(self) -> float:
        """Roll moment coefficient from the set's own cant, per width, at Mach 0 [-]."""
        return self.roll_per_cant * self.fins.cant_rad

    @property
    def factor(self) -> tuple[float, float, float]:
        """Low, central and high factor on the fin force at small angles [-]."""
        low, central, high = self.factor_at(np.zeros(1))
        return float(low[0]), float(central[0]), float(high[0])

    def factor_at(self, alpha_rad: NDArray[np.float64]) -> Factors:
        r"""Low, central and high factor on the fin force at angles of attack.

        .. math::
            k = \min\{(1 - h)^2, 1 - f\} (1 - \tfrac{w}{2}) (1 - l \, s(\alpha)) (1 - b)
                (1 - 0.2 \, t \, s_t(\alpha)), \qquad
            k_{low} = 0.93 \, \min\{(1 - h)^{2.5}, 1 - f\} (1 - w) \ldots

        with the share :math:`h` sheltered in dead air, :math:`w` washed by fins ahead, :math:`l` in slow air
        beyond that, :math:`b` let go at the base, :math:`f` taken by bubbles of blunt fronts and :math:`t` of
        the fins on or just ahead of a narrowing tail; the low end takes each loss at its most.

        Parameters
        ----------
        alpha_rad : ndarray, shape (a,)
            Angles of attack, 0 to pi [rad].

        Returns
        -------
        low, central, high : ndarray, shape (a,)
            Factors [-].

        Notes
        -----
        Dead air at the root takes more than the area in it: the rest stands without the body's
        help. On a measured hull 0.3 of the force was left with 0.4 of the area sheltered. An angle sweeps the
        slow air to the lee side, most of it by 12 degrees. The high end leaves to the fins all but the area
        in dead air, the least of bubbles and half of the slow air, and knows nothing of the base.

        References
        ----------
        .. [1] ``dulled_by`` for the losses; the powers are drawn through the measured vehicles of the
           accuracy page.

        Examples
        --------
        >>> from finial.aero.body import body_air
        >>> from finial.aero.sections.outlines import ellipse, tapered_skin
        >>> tube = body_air(tapered_skin(lambda d: ellipse(d / 2, d / 2), [(0.0, 0.1), (1.0, 0.1)]))
        >>> square = np.array([[0.0, 0.0], [0.0, 0.1], [0.1, 0.1], [0.1, 0.0]])
        >>> four = FinSet(name="four", outline_m=square, station_m=0.8, root_radius_m=0.05, count=4,
        ...               first_at_rad=0.0, thickness_m=0.003)
        >>> low, central, high = fin_air(tube, [four])[0].factor_at(np.array([0.0]))
        >>> bool(0.7 < low[0] < central[0] < high[0] < 1.2)
        True
        """
        free, lost = 1.0 - self.sheltered, self.dulled
        low, high = FIN_FACTOR
        layer, tail = max(lost.layer - self.sheltered, 0.0), lost.tail * max(1.0 - 2 * self.sheltered, 0.0)
        swept = np.minimum(np.abs(np.sin(alpha_rad)) / np.sin(_SWEPT_BY_RAD), 1.0)
        stays = 1.0 - _SWEPT_AWAY * swept
        least = (1.0 - LAYER_ERROR * layer * stays) * (1.0 - BASE_ERROR * lost.base)
        least = least * (1.0 - TAIL_LOSS[0] * tail * stays)
        usual = (1.0 - layer * stays) * (1.0 - lost.base)
        usual = usual * (1.0 - TAIL_LOSS[1] * tail * (1.0 - swept))
        most = 1.0 - LAYER_LEAST * layer * stays
        behind = [1.0 - share for share in self.fronted]
        return (
            low * min(free**2.5, behind[2]) * (1.0 - self.washed) * least,
            min(free**2, behind[1]) * (1.0 - self.washed / 2) * usual,
            high * min(free, behind[0]) * max(behind[0], 1.0) * most,
        )

    @property
    def felt_slope_per_rad(self) -> NDArray[np.float64]:
        """Central guess of the slope at small angles and Mach 0, shape (2, 2) [1/rad]."""
        return self.factor[1] * self.slope_per_rad + FIN_TAIL[1] * self.tail_slope_per_rad

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
        return _mach_factor(ratio, sweep, np.asarray(mach, dtype=float))


# Forces, damping and twist ask for it at the same Mach numbers.
@kept(64)
def _mach_factor(aspect_ratio: float, sweep_rad: float, mach: NDArray[np.float64]) -> NDArray[np.float64]:
    return diederich_slope(aspect_ratio, sweep_rad, mach) / diederich_slope(aspect_ratio, sweep_rad)


def _section_indices(body: BodyAir, fins: FinSet) -> tuple[int, int]:
    """Sections the fins stand on: the widest under their largest reach, and the one at its aft end.

    Slender theory takes the last one; but where the body narrows under the fins the air need
    not follow, and their force has grown before.
    """
    outline = fins.outline_m
    reaching = fins.station_m + outline[outline[:, 1] > 0.98 * outline[:, 1].max(), 0]
    first, last = (
        max(int(np.searchsorted(body.stations_m, end + 1e-9, side="right")) - 1, 0)
        for end in (float(reaching.min()), float(reaching.max()))
    )
    sizes = body.sizes_m
    # The slanted face of a step or of a base cut askew is no section that air flows round.
    whole = sizes >= (1.0 - _WHOLE) * reached(body.stations_m, sizes)
    standing = np.flatnonzero(whole[: last + 1])
    under = standing[standing >= first]
    last = int(standing[-1]) if len(standing) else last
    return (int(under[np.argmax(sizes[under])]) if len(under) else last), last


def gained_added_mass(
    body: BodyAir, sets: Sequence[FinSet], *, followed: bool = False
) -> NDArray[np.float64]:
    """Return added mass with fins minus without, on the section they stand on.

    Parameters
    ----------
    body : BodyAir
        The bare body.
    sets : sequence of FinSet
        Fin sets that stand at one place of the body.
    followed : bool
        Whether the air follows a body that narrows under the fins.

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
    All sets count at the widest section under their full reach; if the air follows, at the section under
    the aft end of the rearmost one's. Error of
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
    each = [_section_indices(body, fins) for fins in sets]
    widest = max((index for index, _ in each), key=lambda i: float(body.tensors_m2[i].trace()))
    index = max(last for _, last in each) if followed else widest
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
    :math:`\Delta A` is added mass with minus without fins on the widest section under them, so
    any body, any number of fins and any roll angle go the same way. Against three-dimensional
    potential flow 1 to 6 % high on round bodies, 10 % high on the corners of square ones;
    slow air along the body and the base take part of it, see ``finial.aero.fins.dulled``. A body
    that narrows under its fins may add to them. Fins behind other fins may lose what
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
    standing = [gained_added_mass(body, [fins]) for fins in sets]
    gained = [(own, _gained_on_tail(body, fins, own)) for fins, own in zip(sets, standing, strict=True)]
    for group in _overlapping(sets):
        if len(group) > 1:
            together = np.trace(gained_added_mass(body, [sets[i] for i in group]))
            share = together / max(sum(np.trace(gained[i][0]) for i in group), 1e-300)
            for i in group:
                gained[i] = (gained[i][0] * share, gained[i][1] * share)
    loads = [
        _one_set(body, fins, plan, more) for fins, plan, more in zip(sets, planforms, gained, strict=True)
    ]
    return tuple(replace(each, washed=_washed(each, loads)) for each in loads)


def _gained_on_tail(body: BodyAir, fins: FinSet, own: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return what fins gain beyond their own added mass where the body narrows, if followed (2, 2)."""
    widest, last = _section_indices(body, fins)
    if widest == last:
        return np.zeros((2, 2))
    more = gained_added_mass(body, [fins], followed=True) - own
    return more if np.trace(more) > 0 else np.zeros((2, 2))


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


def _one_set(
    body: BodyAir,
    fins: FinSet,
    planform: Planform,
    gained_m2: tuple[NDArray[np.float64], NDArray[np.float64]],
) -> FinAir:
    lift = lattice_lift(fins.outline_m)
    area, width = body.reference_area_m2, body.width_m
    efficiency = lift.slope_per_rad / (np.pi * planform.aspect_ratio / 2)
    normals = np.array([[-np.sin(roll), np.cos(roll)] for roll in fin_rolls(fins)])
    centre = fins.station_m + lift.centre_aft_m
    broadside = fins.station_m + planform.centroid_m[0]
    roots, out = _arms(fins), lift.centre_outward_m
    each = planform.area_m2 * lift.slope_per_rad / area
    return FinAir(
        fins=fins,
        planform=planform,
        lift=lift,
        slope_per_rad=2.0 * gained_m2[0] / area * efficiency,
        plate_area_m2=planform.area_m2 * normals.T @ normals,
        centre_m=centre,
        broadside_m=broadside,
        rear_centre_m=2 * broadside - centre,
        sheltered=_sheltered_share(body, fins, planform),
        washed=0.0,
        dulled=dulled_by(body, fins, planform),
        fronted=behind_front(body, fins, planform),
        tail_slope_per_rad=2.0 * gained_m2[1] / area * efficiency,
        upwash=beside_body(fins, planform)[0],
        roll_per_cant=each * float((roots + out).sum()) / width,
        roll_damping=-2 * each * float((roots**2 + 2 * roots * out + lift.rolling_arm_m2).sum()) / width**2,
    )


def _arms(fins: FinSet) -> NDArray[np.float64]:
    """Distance of each fin's root from the axis, along the fin [m]: the arm of its force in roll."""
    rolls = fin_rolls(fins)
    directions = np.column_stack([np.cos(rolls), np.sin(rolls)])
    return fins.root_radius_m + directions @ np.array(fins.offset_m)


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
    Three fins or more, evenly spaced, pull alike in every direction until they stall, which each
    does by itself; two or uneven ones never do. Exact to the panels' own error.

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
    # A fin stalls alike whichever of its faces meets the wind.
    stalls = (fin.fins.count * (1 + fin.fins.count % 2) for fin in fins)
    return gcd(body.repeats, *stalls) if even else gcd(body.repeats, 2)
