"""What a run says in the wind's own plane, and what two grids say together."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.core.doors import require_positive
from finial.core.errors import OutsideRange
from finial.core.estimates import Estimate, KnownBy
from finial.tunnel.averages import batch_means
from finial.tunnel.records import Blown, Stream

SURE = 2.0
"""Standard errors on either side of a mean that are taken for its interval."""
LEAST_SHARE = 0.15
"""What most shapes with edges were off by at 36 cells to a width, corrected for blockage; a judgement."""
LEAST_PLACE_WIDTHS = 0.06
"""What the centre of a finned square tower moved by between 8 and 24 cells to a width."""
BATCHES = 8
"""Pieces of a history whose means are taken for independent."""
FINER = 1.5
"""Cells to a width of the fine grid over those of the coarse one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Mean:
    """A mean with its standard error."""

    value: float
    error: float


@dataclass(frozen=True, slots=True, kw_only=True)
class InWind:
    """Pressure loads in the plane of the wind."""

    force: Mean
    """Along the cross wind, over dynamic pressure and area [-]."""
    aside: Mean
    """Across it, 90 degrees on in roll [-]."""
    axial: Mean
    """Aft along the axis [-]."""
    place: Mean | None
    """Station of the centre of pressure [m]; ``None`` without any force."""


def in_wind(blown: Blown, stream: Stream, width_m: float) -> InWind:
    r"""Turn the loads of a run into the plane of its wind.

    .. math::  N = F_a \cos\phi + F_b \sin\phi, \qquad
               x = w \frac{M_b \cos\phi - M_a \sin\phi}{N}, \qquad
               s_x = \frac{s(w M - x N)}{|N|}

    Parameters
    ----------
    blown : Blown
        Pressure loads and their history.
    stream : Stream
        Its roll angle :math:`\phi` [rad].
    width_m : float
        That moments are over, :math:`w` [m].

    Returns
    -------
    loads : InWind
        Forces [-] and the place of their centre [m].

    Raises
    ------
    OutsideRange
        If the width is not positive, or the history is too short for batches.

    Notes
    -----
    The moment is the whole one, with what axial forces off the axis add. The error of the place is that of
    the moment about it, so that force and moment which rise and fall together do not count twice; it holds
    while the force's own error is small beside the force. A run that still drifts is no surer than half of
    what the means of its two halves differ by.

    References
    ----------
    .. [1] Statics; the error of a ratio to first order: W. G. Cochran, Sampling Techniques, 3rd edition,
       section 6.4 (from memory).

    Examples
    --------
    Half a unit of force, one width and a half behind the tip of a shape 0.1 m wide.

    >>> loads = np.array([0.0, 0.5, 0.0, 0.0, 0.0, 0.75])
    >>> none = np.zeros(6)
    >>> blown = Blown(pressure=loads, total=loads, pressure_error=none, total_error=none, blockage=0.01,
    ...               reynolds=1e4, cells=16.0, wet_cells=1, updates=1.0, restarts=0,
    ...               history=np.tile(loads, (8, 1)), history_widths=np.arange(8.0), stations_m=np.zeros(1),
    ...               along=np.zeros((0, 3)), places_m=np.zeros((0, 3)), pressures=np.zeros(0))
    >>> found = in_wind(blown, Stream(angle_rad=0.1), 0.1)
    >>> found.force.value, round(found.place.value, 6)
    (0.5, 0.15)
    """
    require_positive(width_m=width_m)
    cosine, sine = np.cos(stream.roll_rad), np.sin(stream.roll_rad)
    turn = np.zeros((6, 3))
    turn[1:3, 0] = cosine, sine
    turn[1:3, 1] = -sine, cosine
    turn[4:6, 2] = -sine * width_m, cosine * width_m
    force, aside, moment = (float(value) for value in blown.pressure @ turn)
    series = blown.history @ turn
    place = moment / force if force else None
    about_place = series[:, 2] - (place or 0.0) * series[:, 0]
    errors = _errors(np.column_stack([series[:, :2], blown.history[:, 0], about_place]))
    return InWind(
        force=Mean(value=force, error=float(errors[0])),
        aside=Mean(value=aside, error=float(errors[1])),
        axial=Mean(value=float(blown.pressure[0]), error=float(errors[2])),
        place=None if place is None else Mean(value=place, error=float(errors[3]) / abs(force)),
    )


def _errors(history: NDArray[np.float64]) -> NDArray[np.float64]:
    """Find standard errors of the means by batches, and by halves where those differ by more."""
    halves = np.array_split(history, 2)
    drift = np.abs(halves[1].mean(axis=0) - halves[0].mean(axis=0)) / 2.0
    return np.maximum(batch_means(history, BATCHES)[1], drift)


def of_two_grids(fine: Mean, coarse: Mean, *, at_least: float = 0.0) -> Estimate:
    r"""Interval of a number that two grids were asked for.

    .. math::  h = \max(2 s_f + |f - c|, h_0)

    Parameters
    ----------
    fine, coarse : Mean
        Of the fine grid, :math:`f` with standard error :math:`s_f`, and of the coarse one, :math:`c`; in one
        unit [any].
    at_least : float
        Least half width :math:`h_0`, in the same unit [any].

    Returns
    -------
    estimate : Estimate
        The fine grid's value in the middle [any].

    Raises
    ------
    OutsideRange
        If an error or the least half width is negative or not a number.

    Notes
    -----
    The difference of two grids whose cells are as 1.5 to 1 is half to all of what the fine one still lacks
    for errors that fall with the first to second power of the cell; chance and grid are added end to end,
    as the difference holds the chance of both.

    References
    ----------
    .. [1] P. J. Roache, Journal of Fluids Engineering 116, 1994, 405-413: differences of grids as error
       bands (from memory); the form with 1 in front of the difference is a judgement.

    Examples
    --------
    >>> found = of_two_grids(Mean(value=1.0, error=0.02), Mean(value=1.1, error=0.03))
    >>> round(found.low, 6), found.value, round(found.high, 6)
    (0.86, 1.0, 1.14)
    """
    if not (fine.error >= 0.0 and coarse.error >= 0.0 and at_least >= 0.0):
        raise OutsideRange("errors of means and the least half width cannot be negative")
    half = max(SURE * fine.error + abs(fine.value - coarse.value), at_least)
    return Estimate(
        value=fine.value,
        low=fine.value - half,
        high=fine.value + half,
        known_by=KnownBy.COMPUTED,
        method="lattice of two grids",
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadSwing:
    """The strongest swing of a load."""

    strouhal: float
    """Times per width of travel [-]."""
    share: float
    """Of the load's variance that lies in it [-]."""
    rms: float
    """Root mean square of the load about its mean [-]."""


CLEAR_SHARE = 0.3
"""A swing that holds less of the variance is no clear one; a judgement."""
LEAST_PERIODS = 3.0


def strongest_swing(load: NDArray[np.float64], widths: NDArray[np.float64]) -> LoadSwing | None:
    r"""Frequency at which a load swings most.

    .. math::  St = \frac{f w}{V} = \frac{1}{\lambda / w}

    Parameters
    ----------
    load : ndarray, shape (n,)
        A load over travel [-].
    widths : ndarray, shape (n,)
        Travel at each sample, evenly spaced [widths].

    Returns
    -------
    swing : LoadSwing or None
        ``None`` for fewer than 16 samples, a load that does not change, or a strongest swing of fewer than
        three periods.

    Notes
    -----
    Peak of the spectrum under a Hann window, with its two neighbours on either side; no finer than one over
    the travel.

    References
    ----------
    .. [1] F. J. Harris, Proceedings of the IEEE 66, 1978, 51-83 (from memory): the window.

    Examples
    --------
    >>> travel = np.arange(0.0, 24.0, 0.05)
    >>> found = strongest_swing(np.sin(2 * np.pi * 0.25 * travel), travel)
    >>> round(found.strouhal, 2), round(found.rms, 2)
    (0.25, 0.71)
    """
    if len(load) < 16:
        return None
    about = load - load.mean()
    rms = float(np.sqrt((about**2).mean()))
    if rms <= 1e-12:
        return None
    power = np.abs(np.fft.rfft(about * np.hanning(len(about)))) ** 2
    frequencies = np.fft.rfftfreq(len(load), float(np.mean(np.diff(widths))))
    peak = 1 + int(power[1:].argmax())
    if frequencies[peak] * float(np.ptp(widths)) < LEAST_PERIODS - 0.5:
        return None
    near = power[max(peak - 2, 1) : peak + 3].sum()
    return LoadSwing(strouhal=float(frequencies[peak]), share=float(near / power[1:].sum()), rms=rms)


def pressure_round(
    stations_m: NDArray[np.float64], places_m: NDArray[np.float64], pressures: NDArray[np.float64]
) -> tuple[tuple[float, float, float] | None, ...]:
    r"""Pressure coefficient round the body in each slice: its mean, its least and its largest.

    .. math::  \bar C_p = \frac{1}{n} \sum_{x_i \in [x_k, x_{k+1})} C_{p, i}

    Parameters
    ----------
    stations_m : ndarray, shape (s + 1,)
        Edges of the slices [m].
    places_m : ndarray, shape (p, 3)
        Places on the surface; the first column is their station [m].
    pressures : ndarray, shape (p,)
        Mean pressure coefficients there [-].

    Returns
    -------
    rows : tuple of (float, float, float) or None
        One for each slice [-]; ``None`` where no place lies in it.

    Notes
    -----
    Places stand where the lattice's links cut the surface, near enough evenly. Range: any surface; where fins
    stand their sides are in it.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> stations, places = np.array([0.0, 1.0, 2.0]), np.array([[0.2, 1.0, 0.0], [0.9, -1.0, 0.0]])
    >>> pressure_round(stations, places, np.array([-0.25, -0.75]))
    ((-0.5, -0.75, -0.25), None)
    """
    slices = np.searchsorted(stations_m, places_m[:, 0], side="right") - 1
    found: list[tuple[float, float, float] | None] = []
    for at in range(len(stations_m) - 1):
        here = pressures[slices == at]
        found.append((float(here.mean()), float(here.min()), float(here.max())) if here.size else None)
    return tuple(found)
