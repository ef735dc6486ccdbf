"""How the loads of a run settled: their history, and the means of its batches."""

from typing import Final

import numpy as np

from finial.report.pictures.axes import PAGE_MM, Frame, Scale, bare, covering, framed, over_page, traced
from finial.report.pictures.legend import ROW_MM, LegendRow, key
from finial.report.pictures.svg import BLUE, GREY, RUST, line, picture, polyline
from finial.tunnel.reading import BATCHES
from finial.tunnel_study.store import KeptRun

_NAME: Final = "tunnel-history"


def tunnel_history(kept: KeptRun) -> str:
    """Draw force along the cross wind and along the axis over travel, with the mean of each batch."""
    roll = kept.told.roll_rad
    force = kept.history[:, 1] * np.cos(roll) + kept.history[:, 2] * np.sin(roll)
    x = over_page(*covering(kept.history_widths))
    body: list[str] = []
    for number, (values, label) in enumerate(
        ((force, "force along the cross wind"), (kept.history[:, 0], "force along the axis"))
    ):
        top = 9.0 + 38.0 * number
        low, high = covering(values, pad=0.05, at_least=1e-3)
        frame = Frame(
            name=f"{_NAME}-{number}",
            x=x,
            y=Scale(low=low, high=high, start_mm=top + 29.0, end_mm=top),
            x_label="travel since the start, widths",
            y_label=f"{label}, pressure part",
        )
        body.append(framed(frame if number else bare(frame)))
        body.append(polyline(traced(frame, kept.history_widths, values), stroke=GREY, stroke_width=0.3))
        body += _batches(frame, kept, values)
    rows = (
        LegendRow(text="as it came", stroke=GREY),
        LegendRow(text="mean of each batch", stroke=RUST),
        LegendRow(text="mean of all", stroke=BLUE, dashes="2 1"),
    )
    body.append(key(rows, (x.start_mm, 90.0)))
    says = f"{BATCHES} batches; the mean force along the cross wind is {float(force.mean()):.3g}."
    size = (PAGE_MM, 88.0 + ROW_MM * len(rows))
    return picture(_NAME, size, *body, title="How the loads settled in the tunnel", says=says)


def _batches(frame: Frame, kept: KeptRun, values: np.ndarray) -> list[str]:
    skipped = len(values) % BATCHES
    travel, even = kept.history_widths[skipped:], values[skipped:]
    means = even.reshape(BATCHES, -1).mean(axis=1)
    spans = travel.reshape(BATCHES, -1)[:, [0, -1]]
    drawn = [
        line(
            (frame.x.at(float(start)), frame.y.at(float(mean))),
            (frame.x.at(float(end)), frame.y.at(float(mean))),
            stroke=RUST,
            stroke_width=0.6,
        )
        for (start, end), mean in zip(spans, means, strict=True)
    ]
    middle = frame.y.at(float(means.mean()))
    ends = ((frame.x.at(float(travel[0])), middle), (frame.x.at(float(travel[-1])), middle))
    return [*drawn, line(*ends, stroke=BLUE, stroke_width=0.4, stroke_dasharray="2 1")]
