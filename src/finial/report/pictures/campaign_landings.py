"""Where the flights of a campaign land: points, the ellipse, the field, the pad."""

import math
from typing import Final

import numpy as np
from numpy.typing import NDArray

from finial.campaign.landing import Ellipse
from finial.report.pictures.axes import plain, round_ticks
from finial.report.pictures.axis_units import LONG, chosen
from finial.report.pictures.svg import (
    BLUE,
    GREY,
    INK,
    RUST,
    element,
    line,
    number,
    picture,
    polygon,
    words,
)

_NAME: Final = "landings"
_SIZE_MM: Final = (120.0, 113.0)
_MIDDLE_MM: Final = (60.0, 46.0)
_HALF_MM: Final = 42.0
MOST_POINTS: Final = 3000
_REACH_SHARE: Final = 0.995
"""Points farther out than this share are drawn at the edge, so that one of them does not shrink the rest."""

Rings = tuple[NDArray[np.float64], ...]


def campaign_landings(
    landings_m: NDArray[np.float64],
    ellipse: Ellipse | None,
    field_m: Rings | None = None,
    *,
    us_units: bool = False,
) -> str:
    """Plan of the landing points, east to the right and north up, with the pad at the cross."""
    around = _shown(landings_m, ellipse, field_m)
    middle = (around.min(axis=0) + around.max(axis=0)) / 2.0
    half = max(float(np.ptp(around, axis=0).max()) / 2.0, 10.0)
    per_m = _HALF_MM / half

    def at(point: NDArray[np.float64]) -> tuple[float, float]:
        east, north = (np.clip((point - middle) * per_m, -_HALF_MM - 2.0, _HALF_MM + 2.0)).tolist()
        return _MIDDLE_MM[0] + east, _MIDDLE_MM[1] - north

    dots = [
        element("circle", cx=x, cy=y, r=0.35, fill=BLUE, fill_opacity=0.45)
        for x, y in map(at, landings_m[:MOST_POINTS])
    ]
    body = [element("g", *dots, id=f"{_NAME}-points")]
    if field_m is not None:
        body += [polygon(map(at, ring), stroke=GREY, stroke_width=0.6) for ring in field_m]
    if ellipse is not None:
        body.append(
            polygon(map(at, ellipse.outline_m()), stroke=RUST, stroke_width=0.6, id=f"{_NAME}-ellipse")
        )
    pad = at(np.zeros(2))
    cross = [
        line((pad[0] - 2, pad[1]), (pad[0] + 2, pad[1]), stroke_width=0.6),
        line((pad[0], pad[1] - 2), (pad[0], pad[1] + 2), stroke_width=0.6),
    ]
    body.append(element("g", *cross, id=f"{_NAME}-pad", data_x=number(pad[0]), data_y=number(pad[1])))
    body += [_bar(half, per_m, us_units), _legend(len(landings_m), ellipse, field_m)]
    unit = chosen(LONG, us_units)
    far = f"{math.hypot(*middle) * unit.per_si:.0f} {unit.name}"
    says = f"{len(landings_m)} landing points around {far} from the pad."
    return picture(_NAME, _SIZE_MM, *body, title="Landing points of many flights", says=says)


def _shown(
    landings_m: NDArray[np.float64], ellipse: Ellipse | None, field_m: Rings | None
) -> NDArray[np.float64]:
    """Points that the picture must hold."""
    parts = [np.zeros((1, 2))]
    if len(landings_m):
        away = np.hypot(*(landings_m - np.median(landings_m, axis=0)).T)
        parts.append(landings_m[away <= np.quantile(away, _REACH_SHARE)])
    if ellipse is not None:
        parts.append(ellipse.outline_m())
    if field_m is not None:
        parts.append(field_m[0])
    return np.vstack(parts)


def _bar(half_m: float, per_m: float, us_units: bool) -> str:
    unit = chosen(LONG, us_units)
    length = round_ticks(0.0, half_m * unit.per_si, 3)[1]
    width = length / unit.per_si * per_m
    right, y = _SIZE_MM[0] - 4.0, 95.0
    bar = element("rect", x=right - width, y=y, width=width, height=1.0, fill=INK, id=f"{_NAME}-bar")
    return element("g", bar, words(f"{plain(length)} {unit.name}", (right, y - 1.2), text_anchor="end"))


def _legend(count: int, ellipse: Ellipse | None, field_m: Rings | None) -> str:
    texts = [
        f"blue: the first {min(count, MOST_POINTS)} of {count} landing points; cross: the pad; north is up"
    ]
    if ellipse is not None:
        texts.append(
            f"rust: ellipse meant for {100 * ellipse.nominal:.0f} % of them, holds {100 * ellipse.held:.1f} %"
        )
    if field_m is not None:
        texts.append("grey: the field's outline")
    return element("g", *(words(text, (4.0, 101.0 + 4.4 * row)) for row, text in enumerate(texts)))
