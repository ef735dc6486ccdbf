"""Stress, rod share and reserve of every way to fail, at every cut and in every load case at once."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.core.dimensions import Dimension
from finial.core.doors import require_positive
from finial.core.estimates import Estimate, exact
from finial.structure.bounds import need_between
from finial.structure.loads.along_body import BodyLoads
from finial.structure.loads.case import Case
from finial.structure.reserves import MOST, FailureMode, Reserve, reserve_factor
from finial.structure.walls.stack import CutStack

MODES = (
    FailureMode.WALL_CRUSHED,
    FailureMode.WALL_WRINKLES,
    FailureMode.WALL_COLLAPSES,
    FailureMode.WALL_PULLED,
    FailureMode.WALL_SHEARED,
    FailureMode.JOINT_OPENS,
    FailureMode.ROD_PULLED,
    FailureMode.ROD_BUCKLES,
)
_FORCES = (FailureMode.ROD_PULLED, FailureMode.ROD_BUCKLES)
_SOURCE = "beam theory on a transformed section (Gere and Timoshenko, Mechanics of Materials)"
_ONE = exact(1.0)

# Every corner of a cut meets every corner of the loads' factors; the centres meet each other once.
_CUT_CORNER = np.concatenate([[0], np.repeat(np.arange(1, 9), 4)])
_LOAD_CORNER = np.concatenate([[0], np.tile(np.arange(1, 5), 8)])

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class BodyCase:
    """Loads along a body in one case, how far they scatter, and between which stations cuts are judged."""

    case: Case
    loads: BodyLoads
    ends_m: tuple[float, float]
    axial_factor: Estimate = _ONE
    bending_factor: Estimate = _ONE
    """Of bending, cross force and torsion [-]."""
    torsion_n_m: Array | None = None
    """About the axis, at the stations of the loads [N m]; ``None`` where nothing turns it."""

    def __post_init__(self) -> None:
        """Refuse factors that turn a load round; at the low end a cord may not pull at all."""
        require_positive(axial_factor=self.axial_factor.high, bending_factor=self.bending_factor.high)
        lows = {"axial_factor": self.axial_factor.low, "bending_factor": self.bending_factor.low}
        need_between(0.0, max(self.axial_factor.high, self.bending_factor.high), **lows)


@dataclass(frozen=True, slots=True, kw_only=True)
class ReserveGrid:
    """Reserves of a body: arrays over ways to fail, cases, cuts, and the three of value, low and high end.

    ``nan`` where a cut cannot fail so, lies outside a case's stations, or nothing loads it.
    """

    stack: CutStack
    cases: tuple[BodyCase, ...]
    loads: Array
    """(modes, cases, cuts, 3) [Pa] or [N]."""
    lows: Array
    """Low end of every reserve [-], (modes, cases, cuts)."""

    def entry(self, mode: int, case: int, cut: int) -> Reserve:
        """Return one of them as a record, by its place in the arrays.

        Parameters
        ----------
        mode, case, cut : int
            Places in the arrays.

        Returns
        -------
        entry : Reserve
            Load, strength and reserve [Pa] or [N], [-].

        Raises
        ------
        OutsideRange
            Never: strengths were looked at when the cuts were stacked.

        Notes
        -----
        Range: as :func:`body_reserves`.

        References
        ----------
        .. [1] As :func:`body_reserves`.

        Examples
        --------
        >>> from finial.structure.walls.example import pushed_box
        >>> round(pushed_box().entry(0, 0, 0).reserve.value)
        116
        """
        stack, spec, which = self.stack, self.stack.specs[cut], MODES[mode]
        strength = stack.strengths[which][cut]
        assert strength is not None
        value, low, high = self.loads[mode, case, cut].tolist()
        factors = (self.cases[case].axial_factor, self.cases[case].bending_factor)
        load = Estimate(
            value=value,
            low=low,
            high=high,
            known_by=max(stack.known_by[cut], *(factor.known_by for factor in factors)),
            method="axial force and bending on walls and rods together",
            source=_SOURCE,
        )
        walled = which not in _FORCES
        return Reserve(
            mode=which,
            station_m=spec.station_m,
            dimension=Dimension.PRESSURE if walled else Dimension.FORCE,
            load=load,
            strength=strength,
            reserve=reserve_factor(strength, load),
            subject=spec.part if walled else "",
            case=self.cases[case].case,
            rod_share=float(stack.rod_ea[cut, 0] / stack.ea[cut, 0]) if stack.rodded[cut] else None,
            warmth_left=spec.warmth_left if walled else 1.0,
        )

    def worst_of_each(self) -> tuple[Reserve, ...]:
        """Return the lowest reserve of every way to fail in every case; what is not loaded is left out.

        Cuts that warmth takes strength from in another measure stand apart, so that none hides another.

        Returns
        -------
        entries : tuple of Reserve
            In no order.
        """
        if self.lows.size == 0:
            return ()
        lefts = np.array([spec.warmth_left for spec in self.stack.specs])
        return tuple(entry for left in np.unique(lefts) for entry in self._worst_among(lefts == left))

    def _worst_among(self, chosen: NDArray[np.bool_]) -> Iterator[Reserve]:
        filled = np.where(np.isnan(self.lows) | ~chosen, np.inf, self.lows)
        cut = filled.argmin(axis=2)
        least = np.take_along_axis(filled, cut[:, :, None], axis=2)[:, :, 0]
        for mode, case in np.argwhere(np.isfinite(least)).tolist():
            yield self.entry(mode, case, int(cut[mode, case]))

    def all_of(self, mode: FailureMode, case: int) -> tuple[Reserve, ...]:
        """Return every loaded cut in one way to fail and one case.

        Parameters
        ----------
        mode : FailureMode
            Way to fail.
        case : int
            Place of the case among all.

        Returns
        -------
        entries : tuple of Reserve
            In the order of the stack.

        Notes
        -----
        Range: as :func:`body_reserves`.

        References
        ----------
        .. [1] As :func:`body_reserves`.

        Examples
        --------
        >>> from finial.structure.walls.example import pushed_box
        >>> [entry.station_m for entry in pushed_box().all_of(FailureMode.WALL_WRINKLES, 0)]
        [0.5]
        """
        row = MODES.index(mode)
        return tuple(
            self.entry(row, case, int(cut)) for cut in np.flatnonzero(np.isfinite(self.lows[row, case]))
        )


def body_reserves(stack: CutStack, cases: Sequence[BodyCase]) -> ReserveGrid:
    r"""Every way to fail at every cut along the body, with its reserve factor.

    .. math::
        \sigma = E_w \left(\pm \frac{N}{EA} + (M + |N| e) \max_p |J^{-1} r_p|\right) \pm \sigma_{preload},
        \qquad \tau = \frac{|T|}{2 A_m t} + \frac{2 |V|}{A}, \qquad R = S / \sigma

    with :math:`e` the distance of the elastic centre from the axis.

    Parameters
    ----------
    stack : CutStack
        Cuts to judge [Pa], [m]; those outside a case's stations carry nothing.
    cases : sequence of BodyCase
        Axial force [N], bending [N m], cross force and torsion along the stations, with their scatter [-].

    Returns
    -------
    grid : ReserveGrid
        Loads [Pa] or [N] and reserves [-].

    Notes
    -----
    Holds for slender bodies with plane sections. The moment is taken at its worst roll angle. At a butt joint
    rods are also judged as if they alone held it shut. Stress raisers at corners, holes and windows, creep,
    heat and impact are not included; printed walls scatter more than their data sheets say.

    References
    ----------
    .. [1] Gere and Timoshenko, Mechanics of Materials, chapter 6 (composite beams).
    .. [2] Shigley, Mechanical Engineering Design, bolted joints (preload and separation); from memory.
    .. [3] Bredt 1896, for shear in a closed wall.

    Examples
    --------
    >>> from finial.structure.walls.example import pushed_box
    >>> found = pushed_box().worst_of_each()
    >>> [(entry.mode.value, round(entry.reserve.value)) for entry in found]
    [('wall-crushed', 116), ('wall-wrinkles', 30), ('wall-collapses', 53)]
    """
    loads = np.full((len(MODES), len(cases), stack.stations_m.size, 3), np.nan)
    if not len(cases) or not stack.stations_m.size:
        return ReserveGrid(stack=stack, cases=tuple(cases), loads=loads, lows=loads[..., 0])
    reached = _reached(stack, cases)
    for row, mode in enumerate(MODES):
        loads[row] = np.stack(
            [reached[mode][..., 0], reached[mode].min(axis=2), reached[mode].max(axis=2)], axis=-1
        )
    strengths = np.array([stack.ends_of(mode) for mode in MODES])[:, None]
    judged = _judged(stack, cases)
    loads = np.where(judged[None, :, :, None] & np.isfinite(strengths), loads, np.nan)
    return ReserveGrid(stack=stack, cases=tuple(cases), loads=loads, lows=_lows(loads, strengths))


def _lows(loads: Array, strengths: Array) -> Array:
    """Low end of strength over load; ``nan`` where no part of the load is above zero."""
    high, low = loads[..., 2], np.broadcast_to(strengths[..., 1], loads[..., 2].shape)
    with np.errstate(invalid="ignore", divide="ignore"):
        capped = np.where(high <= low / MOST, MOST, low / high)
        return np.where(high > 0.0, capped, np.nan)


def _judged(stack: CutStack, cases: Sequence[BodyCase]) -> NDArray[np.bool_]:
    """Cuts that lie inside what a case loads, (cases, cuts)."""
    ends = np.array([case.ends_m for case in cases])
    return (ends[:, :1] < stack.stations_m) & (stack.stations_m < ends[:, 1:])


def _reached(stack: CutStack, cases: Sequence[BodyCase]) -> dict[FailureMode, Array]:
    """Load of every way to fail at every corner, (cases, cuts, corners), the central one first."""
    axial, bending, sheared = _loads(stack, cases)
    preload, ea, wall_ea, rod_ea, wall_strain, rod_strain, off_axis = (
        array[:, _CUT_CORNER]
        for array in (
            stack.preload,
            stack.ea,
            stack.wall_ea,
            stack.rod_ea,
            stack.wall_strain,
            stack.rod_strain,
            stack.off_axis,
        )
    )
    straight = axial / ea[..., None]
    bent = bending + np.abs(axial) * off_axis[..., None]

    def strain(per_moment: Array, side: float) -> Array:
        """Largest strain of both sides of a step: ``side`` 1 for squeezing, -1 for stretching."""
        return _larger(side * straight + bent * per_moment[..., None])

    modulus = wall_ea / stack.wall_m2[:, None]
    held = preload * (stack.rod_count / stack.wall_m2)[:, None]
    squeezed = modulus * strain(wall_strain, 1.0) + held
    pull = modulus * strain(wall_strain, -1.0)
    each = rod_ea / np.maximum(stack.rod_count, 1.0)[:, None]
    alone = np.maximum(-axial, 0.0) / np.maximum(stack.rod_count, 1.0)[:, None, None]
    alone = _larger(alone + bending * stack.rods_alone[:, None, None])
    pulled = preload + each * strain(rod_strain, -1.0)
    return {
        FailureMode.WALL_CRUSHED: squeezed,
        FailureMode.WALL_WRINKLES: squeezed,
        FailureMode.WALL_COLLAPSES: squeezed,
        FailureMode.WALL_PULLED: pull - held,
        FailureMode.WALL_SHEARED: sheared,
        FailureMode.JOINT_OPENS: pull,
        FailureMode.ROD_PULLED: np.where(stack.butt[:, None], np.maximum(pulled, alone), pulled),
        FailureMode.ROD_BUCKLES: each * strain(rod_strain, 1.0) - preload,
    }


def _larger(of_sides: Array) -> Array:
    """Larger of the two sides of a step; looked at as a pair, since a short axis is slow to search."""
    return np.maximum(of_sides[..., 0], of_sides[..., 1])


def _loads(stack: CutStack, cases: Sequence[BodyCase]) -> tuple[Array, Array, Array]:
    """Axial force and bending (cases, cuts, corners, 2 sides), shear stress (cases, cuts, corners)."""
    both = [case.loads.at(stack.stations_m) for case in cases]
    factors = np.array([_corners(case) for case in cases])[:, :, _LOAD_CORNER]
    axial = np.array([one.axial_n for one in both])[:, :, None, :] * factors[:, 0, None, :, None]
    bending = np.abs([one.bending_n_m for one in both])[:, :, None, :] * factors[:, 1, None, :, None]
    shear = np.abs([one.shear_n for one in both]).max(axis=-1)
    torsion = np.abs([_torsion(case, stack.stations_m) for case in cases])
    stress = torsion / stack.tube_m3 + shear / stack.tube_m2
    return axial, bending, stress[:, :, None] * factors[:, 1, None, :]


def _corners(case: BodyCase) -> Array:
    """Factors at the centre and at every corner, (2, 5)."""
    axial, bending = case.axial_factor, case.bending_factor
    return np.array(
        [
            [axial.value, axial.low, axial.low, axial.high, axial.high],
            [bending.value, bending.low, bending.high, bending.low, bending.high],
        ]
    )


def _torsion(case: BodyCase, stations_m: Array) -> Array:
    if case.torsion_n_m is None:
        return np.zeros(stations_m.size)
    return np.interp(stations_m, case.loads.stations_m, case.torsion_n_m)
