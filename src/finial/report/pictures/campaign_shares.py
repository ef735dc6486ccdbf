"""What decides: a bar for each uncertain number's share of a result's variance, with its interval."""

from typing import Final

from finial.campaign.sensitivity import Sensitivity
from finial.report.pictures.axes import Frame, Scale, framed
from finial.report.pictures.svg import BLUE, INK, clipped, element, line, number, picture, words

_NAME: Final = "shares"
_WIDTH_MM: Final = 120.0
_LEFT_MM, _RIGHT_MM = 52.0, 116.0
_ROW_MM: Final = 5.2
_TOP_MM: Final = 8.0
MOST_BARS: Final = 8


def campaign_shares(title: str, found: tuple[Sensitivity, ...]) -> str:
    """Bars, longest first."""
    shown = found[:MOST_BARS]
    bottom = _TOP_MM + _ROW_MM * len(shown) + 1.0
    frame = Frame(
        name=_NAME,
        x=Scale(low=0.0, high=100.0, start_mm=_LEFT_MM, end_mm=_RIGHT_MM),
        # No round number lies inside this scale: bars need no ticks along it.
        y=Scale(low=0.01, high=0.99, start_mm=bottom, end_mm=_TOP_MM - 1.0),
        x_label="share of the variance, %",
        y_label=clipped(title, 60),
    )
    bars = [_bar(one, _TOP_MM + _ROW_MM * row, frame) for row, one in enumerate(shown)]
    says = " ".join(f"{one.draw.name} {100 * one.share:.0f} %." for one in shown)
    size = (_WIDTH_MM, bottom + 9.0)
    return picture(_NAME, size, framed(frame, y_ticks=0), *bars, title=f"What decides the {title}", says=says)


def _bar(one: Sensitivity, top_mm: float, frame: Frame) -> str:
    left, end = frame.x.at(0.0), frame.x.at(100.0 * one.share)
    middle = top_mm + 1.7
    low, high = frame.x.at(100.0 * one.low), frame.x.at(100.0 * one.high)
    bar = element("rect", x=left, y=top_mm, width=max(end - left, 0.1), height=3.4, fill=BLUE)
    reach = line((low, middle), (high, middle), stroke=INK, stroke_width=0.5)
    name = words(clipped(one.draw.name, 34), (left - 1.5, top_mm + 2.7), text_anchor="end")
    return element("g", bar, reach, name, data_share=number(one.share))
