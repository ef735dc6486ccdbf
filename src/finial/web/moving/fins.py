"""A fin's modes on a net of corners, so that a page can bend it."""

import math
from collections.abc import Callable, Iterator
from typing import cast

import numpy as np
from numpy.typing import NDArray

from finial.assemble.strength.fins.records import FinModePicture, FinStudy
from finial.core.dimensions import Dimension
from finial.findings.readiness import Readiness
from finial.report.document import Table
from finial.report.pictures.axis_units import SHORT, SPEED, AxisUnit, chosen
from finial.report.shown import Shown
from finial.report.strength_words import swing_words
from finial.web.moving.lines import rounded_rows
from finial.web.moving.records import FinMode, MovedFin

_ALONG, _OUT = 11, 9
"""Corners of the net along the chord and outward."""
_Read = Callable[[NDArray[np.float64]], NDArray[np.float64]]
_LEAST_SHARE = 0.02
"""Of the largest swing of the tip: less is taken for none [-]."""
_INSET = 1e-4
"""Of the fin's reach: the net stays this far inside its root and its tip [-]."""


def moved_fins(readiness: Readiness) -> Iterator[MovedFin]:
    """Give every fin set whose modes were worked out."""
    study, shown = readiness.strength_study, Shown(us_units=readiness.us_units)
    per_m = chosen(SHORT, readiness.us_units)
    for fin in study.fins if study else ():
        net = fin_net(fin.outline_m)
        yield MovedFin(
            name=fin.name,
            unit=per_m.name,
            along=rounded_rows(net[..., 0] * per_m.per_si, 2),
            outward=rounded_rows(net[..., 1] * per_m.per_si, 2),
            modes=(*_modes(fin, net), *_growing(fin, net, shown)),
            says=_says(fin, shown),
            table=_table(fin, chosen(SPEED, readiness.us_units)),
        )


def fin_net(outline_m: NDArray[np.float64]) -> NDArray[np.float64]:
    """Corners of a net over a fin, rows from root to tip, shape (rows, columns, 2) [m].

    Each row runs from the foremost to the aftmost point of the outline at that distance outward.

    Examples
    --------
    >>> net = fin_net(np.array([[0.0, 0.0], [0.0, 0.1], [0.2, 0.1], [0.2, 0.0]]))
    >>> net.shape, net[0, 0].round(3).tolist(), net[-1, -1].round(3).tolist()
    ((9, 11, 2), [0.0, 0.0], [0.2, 0.1])
    """
    import shapely

    plate = shapely.make_valid(shapely.Polygon(outline_m))
    fore, low, aft, high = plate.bounds
    inset = _INSET * (high - low)
    rows: list[NDArray[np.float64]] = []
    for out in np.linspace(low + inset, high - inset, _OUT).tolist():
        chord = plate.intersection(shapely.LineString([(fore - 1.0, out), (aft + 1.0, out)]))
        start, _, end, _ = chord.bounds
        rows.append(np.column_stack([np.linspace(start, end, _ALONG), np.full(_ALONG, out)]))
    return np.array(rows)


def _modes(fin: FinStudy, net: NDArray[np.float64]) -> Iterator[FinMode]:
    for mode, hertz in enumerate(fin.modes.frequencies_hz.tolist()):
        kind = f", {swing_words(fin.held.twists[mode])}" if mode < len(fin.held.twists) else ""
        out = deflected(fin.modes, fin.modes.deflections[:, mode], net)
        yield FinMode(
            name=f"{hertz:.0f} Hz{kind}",
            says="One of its own ways to swing, in still air: every point passes the middle at once.",
            out=rounded_rows(out, 4),
            quarter=None,
            runs_away=False,
        )


def _growing(fin: FinStudy, net: NDArray[np.float64], shown: Shown) -> Iterator[FinMode]:
    """Give the motion that begins to grow at the flutter speed, bending and twist with their lag."""
    if fin.growing is None:
        return
    out, quarter = (deflected(fin.modes, values, net) for values in fin.growing.deflections.T)
    speed, hertz = shown.speed(fin.growing.speed_m_s), fin.growing.frequency_hz
    away = hertz == 0.0
    yield FinMode(
        name=f"twists away at {speed}" if away else f"flutter at {speed}, {hertz:.0f} Hz",
        says=_AWAY if away else f"{_GROWS} {lag_words(tip_lag_rad(out + 1j * quarter))}",
        out=rounded_rows(out, 4),
        quarter=None if away else rounded_rows(quarter, 4),
        runs_away=away,
    )


_AWAY = (
    "It does not swing: at this speed the air twists it further than it springs back. Drawn is how it"
    " gives way."
)
_GROWS = (
    "The coupled motion that begins to grow there, in the air at the pad, of the fin between its soft and its"
    " stiff end; how large it becomes nobody computes."
)


def tip_lag_rad(swing: NDArray[np.complex128]) -> float | None:
    """How far the twist of the tip runs ahead of its bending, -pi to pi [rad].

    Twist is counted with the leading edge out, bending with the middle of the chord out; ``None`` where the
    tip does not bend or does not twist.

    Examples
    --------
    >>> round(tip_lag_rad(np.array([[1.0 + 0.5j, 1.0, 1.0 - 0.5j]])), 4)
    1.5708
    """
    tip = swing[-1]
    bending, twist = tip.mean(), tip[0] - tip[-1]
    if min(abs(bending), abs(twist)) < _LEAST_SHARE * abs(tip).max():
        return None
    return float(np.angle(twist / bending))


def lag_words(lag_rad: float | None) -> str:
    """Say how twist and bending of the tip go together."""
    if lag_rad is None:
        return "Its tip all but bends only, or twists only."
    degrees = round(math.degrees(lag_rad))
    if degrees == 0:
        return "The tip twists its leading edge out as it bends out."
    way = "ahead of" if degrees > 0 else "behind"
    return f"The tip's twist, leading edge out, runs {abs(degrees)}° {way} its bending."


def deflected(
    modes: FinModePicture, values: NDArray[np.float64], net: NDArray[np.float64]
) -> NDArray[np.float64]:
    """How far each corner of a net swings out, (rows, columns) [-], from what the mesh of the modes does."""
    from scipy import interpolate

    corners = modes.corners_m
    linear, nearest = cast(
        "tuple[_Read, _Read]",
        (
            interpolate.LinearNDInterpolator(corners, values),  # pyright: ignore[reportUnknownMemberType]
            interpolate.NearestNDInterpolator(corners, values),
        ),
    )
    within = linear(net)
    # Along edges a corner of the net may lie a hair outside every triangle.
    return np.where(np.isfinite(within), within, nearest(net))


def _says(fin: FinStudy, shown: Shown) -> str:
    count, flutter = len(fin.modes.frequencies_hz), fin.held.flutter
    speed = shown.between(fin.top_speed, Dimension.SPEED)
    grows = (
        "no swing grows by itself in the wind at the speeds looked at"
        if flutter is None
        else f"in the wind a swing grows by itself from {shown.between(flutter, Dimension.SPEED)} on"
    )
    return (
        f"{count} ways to swing, of {fin.name}, drawn far larger than they are; {grows}; through the air"
        f" the flight reaches {speed}."
    )


def _table(fin: FinStudy, unit: AxisUnit) -> Table:
    sweep = fin.sweep
    modes = range(sweep.frequencies_hz.shape[1])
    return Table(
        title=f"Swings of {fin.name} in the wind",
        columns=(
            f"speed, {unit.name}",
            *(f"mode {mode + 1}, Hz" for mode in modes),
            *(f"damping {mode + 1}, %" for mode in modes),
        ),
        rows=tuple(
            (
                f"{speed * unit.per_si:.1f}",
                *(f"{hertz:.1f}" for hertz in sweep.frequencies_hz[row].tolist()),
                *(f"{100 * share:.2f}" for share in sweep.damping[row].tolist()),
            )
            for row, speed in enumerate(sweep.speeds_m_s.tolist())
        ),
        numbers=tuple(range(1 + 2 * len(modes))),
    )
