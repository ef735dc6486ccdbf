"""The pressure band of a vehicle whose centre of pressure flights have told."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from finial.aero.band.extremes import central_force, least_force, moment_ends, place_ends
from finial.aero.band.load_parts import DoubtfulForce
from finial.aero.band.worst import LEAST_FORCE
from finial.core.estimates import Estimate


def measured_parts(
    finned: Sequence[DoubtfulForce], about_m: float, shift: Estimate
) -> tuple[DoubtfulForce, DoubtfulForce]:
    r"""Put what flights tell of the centre of pressure in the place of what the method doubts of it.

    .. math::  M = k_1 (M_c + N_c\,\Delta x) + k_2, \qquad
               |N_c| \max(\Delta x_{low} - \Delta x - e^-, -k_1^{low} d^-) \le k_2 \le
               |N_c| \min(\Delta x_{high} - \Delta x + e^+, k_1^{low} d^+)

    Swings are told at small angles. What the method doubts more at a larger angle than at the smallest,
    :math:`e^-` forward and :math:`e^+` aft, stays doubtful on top; so does the size of the force. Where logs
    tell it worse than the method, :math:`d^-` and :math:`d^+`, the method's doubt stands.

    Parameters
    ----------
    finned : sequence of DoubtfulForce
        Loads of the whole vehicle as computed, over angles and rolls [-].
    about_m : float
        Station that moments are about where the force is small [m].
    shift : Estimate
        How far aft of the computed the centre lies, :math:`\Delta x` [m].

    Returns
    -------
    force, place : DoubtfulForce
        The same force, and where it acts [-].

    Notes
    -----
    The shift is taken for the same at every angle, roll and Mach number; the floor of 0.1 widths stays.
    Swings tell a moment: where the force may be weaker, its place is doubtful by so much more.

    References
    ----------
    .. [1] Definition, no source.

    Examples
    --------
    A force of 2 at 1 m, known to half a metre either way, found 0.1 m further aft, give or take 0.02.

    >>> from finial.core.estimates import Estimate, KnownBy
    >>> one = np.ones((1, 1))
    >>> sure = DoubtfulForce(name="sure", force=2 * one, moment=2 * one, low=1.0, central=1.0, high=1.0)
    >>> odd = DoubtfulForce(name="odd", force=0 * one, moment=one, low=-1.0, central=0.0, high=1.0)
    >>> told = Estimate(value=0.1, low=0.08, high=0.12, known_by=KnownBy.MEASURED)
    >>> [round(end.item(), 2) for end in place_ends(measured_parts([sure, odd], 0.0, told), 0.0)]
    [1.1, 1.08, 1.12]
    """
    central, least, greatest = place_ends(finned, about_m)
    forward, aft = central - least, greatest - central
    force, moment = central_force(finned), moment_ends(finned, 0.0)[0]
    size = np.where(np.abs(force) > 1e-12, force, 1e-12)
    weakest = least_force(finned) / size
    strongest = -least_force([replace(part, force=-part.force) for part in finned]) / size
    # A force that may vanish has no place: there the band goes by its moment over the least force.
    least_share = np.clip(np.maximum(weakest, LEAST_FORCE / np.abs(size)), 0.0, 1.0)
    ahead = shift.value - shift.low + np.maximum(forward - forward[:1], 0.0)
    behind = shift.high - shift.value + np.maximum(aft - aft[:1], 0.0)
    return (
        DoubtfulForce(
            name="force across, where flights tell it acts",
            force=force,
            moment=moment + shift.value * force,
            low=np.minimum(weakest, strongest),
            central=1.0,
            high=np.maximum(weakest, strongest),
        ),
        DoubtfulForce(
            name="place as swings of flights tell it",
            force=np.zeros_like(force),
            moment=np.abs(force),
            low=-np.minimum(ahead, least_share * forward),
            central=0.0,
            high=np.minimum(behind, least_share * aft),
        ),
    )
