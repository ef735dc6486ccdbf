"""Load along the body as the tunnel read it, on two grids, and what it gathers to."""

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from finial.files.tunnel_runs import TunnelRun
from finial.report.pictures.axes import PAGE_MM, Frame, Scale, bare, covering, framed, over_page, traced
from finial.report.pictures.axis_units import SHORT, chosen
from finial.report.pictures.legend import ROW_MM, LegendRow, key
from finial.report.pictures.svg import BLUE, RUST, picture, polyline

_NAME: Final = "tunnel-along"
_STYLES: Final = ((BLUE, None), (RUST, "2 1"))


def tunnel_along(runs: Sequence[TunnelRun], *, us_units: bool = False) -> str:
    """Draw force along the cross wind per width of body, and all of it so far; finest grid first."""
    shown, unit = runs[: len(_STYLES)], chosen(SHORT, us_units)
    steps = [_steps(run) for run in shown]
    x = over_page(*covering([0.0, *(float(run.stations_m[-1]) * unit.per_si for run in shown)]))
    frames = (
        Frame(
            name=f"{_NAME}-0",
            x=x,
            y=_scale([per for _, per, _ in steps], 38.0, 9.0),
            y_label="force coefficient per width of body",
        ),
        Frame(
            name=f"{_NAME}-1",
            x=x,
            y=_scale([all_ahead for _, _, all_ahead in steps], 76.0, 47.0),
            x_label=f"station aft of the tip, {unit.name}",
            y_label="gathered from the tip on",
        ),
    )
    body = [framed(bare(frames[0])), framed(frames[1])]
    for (stations, per_width, gathered), (colour, dashes) in zip(steps, _STYLES[: len(steps)], strict=True):
        for frame, values in zip(frames, (per_width, gathered), strict=True):
            points = traced(frame, stations * unit.per_si, values)
            body.append(polyline(points, stroke=colour, stroke_width=0.5, stroke_dasharray=dashes))
    rows = [
        LegendRow(text=f"{run.cells:.3g} cells to a width", stroke=colour, dashes=dashes)
        for run, (colour, dashes) in zip(shown, _STYLES[: len(shown)], strict=True)
    ]
    body.append(key(rows, (x.start_mm, 90.0)))
    says = (
        f"The slices gather to a force coefficient of {float(steps[0][2][-1]):.3g}, not corrected for walls."
    )
    return picture(
        _NAME,
        (PAGE_MM, 88.0 + ROW_MM * len(rows)),
        *body,
        title="Load along the body in the tunnel",
        says=says,
    )


def _steps(run: TunnelRun) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    """Stations, force per width and gathered force, each slice as a flat step."""
    edges, along = np.array(run.stations_m), np.array(run.along)
    force = along[:, 1] * np.cos(run.roll_rad) + along[:, 2] * np.sin(run.roll_rad)
    per_width = force / np.diff(edges) * run.width_m
    ahead = np.concatenate([[0.0], np.cumsum(force)])
    stations = np.repeat(edges, 2)[1:-1]
    return stations, np.repeat(per_width, 2), np.interp(stations, edges, ahead)


def _scale(values: Sequence[NDArray[np.float64]], start_mm: float, end_mm: float) -> Scale:
    low, high = covering([0.0, *np.concatenate(list(values))], at_least=1e-3)
    return Scale(low=low, high=high, start_mm=start_mm, end_mm=end_mm)
