"""Load of the air along the bare body, and what fins add where they stand."""

from typing import Final

import numpy as np

from finial.assemble.air.results import AirResult
from finial.assemble.vehicle.results import ShapeResult
from finial.report.pictures.axes import (
    PAGE_MM,
    Frame,
    Scale,
    covering,
    framed,
    over_page,
    plain,
    traced,
)
from finial.report.pictures.axis_units import SHORT, chosen
from finial.report.pictures.legend import LegendRow, key, level
from finial.report.pictures.svg import BLUE, GREY, RUST, element, picture, polyline

_NAME: Final = "air-load"
_SIZE_MM: Final = (PAGE_MM, 76.0)
_SMOOTHING: Final = 5
"""Stations that the drawn load is averaged over: a step is a spike without width."""


def air_load(shape: ShapeResult, air: AirResult, *, us_units: bool = False) -> str:
    """Slope of the normal force per length over station; fins as bars of their own slope per chord."""
    unit = chosen(SHORT, us_units)
    stations = air.load_stations_m * unit.per_si
    load = _smoothed(air.load_per_m) * shape.skin.length_m
    bars = [
        (fin.station_m, fin.station_m + float(fin.outline_m[:, 0].max()), row.slope_per_rad)
        for fin, row in zip(shape.fins, air.fin_rows, strict=True)
    ]
    heights = [slope * shape.skin.length_m / max(aft - fore, 1e-9) for fore, aft, slope in bars]
    far = max([float(stations[-1]), *(aft * unit.per_si for _, aft, _ in bars)])
    low, high = covering([*load, *heights, 0.0], pad=0.03)
    frame = Frame(
        name=_NAME,
        x=over_page(0.0, far),
        y=Scale(low=low, high=high, start_mm=56.0, end_mm=9.0),
        x_label=f"station aft of the tip, {unit.name}",
        y_label="force slope per vehicle length, per radian",
    )
    drawn = [
        framed(frame),
        level(frame, 0.0, stroke=GREY, stroke_width=0.25),
        *(
            _bar(frame, (fore * unit.per_si, aft * unit.per_si), height)
            for (fore, aft, _), height in zip(bars, heights, strict=True)
        ),
        polyline(traced(frame, stations, load), stroke=BLUE, stroke_width=0.6, id=f"{_NAME}-body"),
        _key(frame.x.start_mm),
    ]
    says = (
        f"The bare body gathers {plain(round(air.bare_slope_per_rad.value, 2))} per radian, with fins "
        f"{plain(round(air.slope_per_rad.value, 2))}."
    )
    return picture(_NAME, _SIZE_MM, *drawn, title="Load of the air along the stations", says=says)


def _smoothed(load: np.ndarray) -> np.ndarray:
    return np.convolve(
        np.pad(load, _SMOOTHING // 2, mode="edge"), np.full(_SMOOTHING, 1 / _SMOOTHING), "valid"
    )


def _bar(frame: Frame, span: tuple[float, float], height: float) -> str:
    left, right = frame.x.at(span[0]), frame.x.at(span[1])
    top, foot = sorted((frame.y.at(height), frame.y.at(0.0)))
    return element(
        "rect",
        x=left,
        y=top,
        width=right - left,
        height=foot - top,
        fill="none",
        stroke=RUST,
        stroke_width=0.5,
        stroke_dasharray="2 1",
    )


def _key(left_mm: float) -> str:
    body = LegendRow(text="bare body, roll mean", stroke=BLUE)
    fins = LegendRow(text="fins with what they induce on the body, worst roll", stroke=RUST, dashes="2 1")
    return key([body], (left_mm, 72.0)) + key([fins], (80.0, 72.0))
