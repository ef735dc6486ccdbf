"""How one result scatters: bars of how many flights came out where."""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from finial.report.pictures.axes import Frame, Scale, covering, framed
from finial.report.pictures.legend import upright
from finial.report.pictures.svg import BLUE, RUST, element, picture

_NAME: Final = "spread"
_SIZE_MM: Final = (120.0, 62.0)
_BARS: Final = 40


def campaign_spread(values: NDArray[np.float64], label: str, limit: float | None = None) -> str:
    """Histogram of finite values, already in the builder's unit, with a limit as a line where one is near."""
    finite = values[np.isfinite(values)]
    reach = [float(finite.min()), float(finite.max())]
    if limit is not None and not reach[0] - np.ptp(reach) <= limit <= reach[1] + np.ptp(reach):
        limit = None
    low, high = covering([*reach, *([] if limit is None else [limit])])
    counts, edges = np.histogram(finite, bins=_BARS, range=(low, high))
    frame = Frame(
        name=_NAME,
        x=Scale(low=low, high=high, start_mm=14.0, end_mm=116.0),
        y=Scale(low=0.0, high=covering([0.0, *counts])[1], start_mm=50.0, end_mm=8.0),
        x_label=label,
        y_label="flights",
    )
    bars = [
        element(
            "rect",
            x=frame.x.at(float(left)),
            y=frame.y.at(float(count)),
            width=frame.x.at(float(right)) - frame.x.at(float(left)),
            height=frame.y.at(0.0) - frame.y.at(float(count)),
            fill=BLUE,
        )
        for count, left, right in zip(counts, edges[:-1], edges[1:], strict=True)
        if count
    ]
    drawn = [framed(frame), element("g", *bars, id=f"{_NAME}-bars")]
    if limit is not None:
        drawn.append(upright(frame, limit, stroke=RUST, stroke_width=0.6, id=f"{_NAME}-limit"))
    says = f"{finite.size} flights between {finite.min():.4g} and {finite.max():.4g}."
    return picture(_NAME, _SIZE_MM, *drawn, title=f"Scatter: {label}", says=says)
