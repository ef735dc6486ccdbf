"""Modes of a fin, its damping over speed, and flutter over height."""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from finial.assemble.strength.fins.records import FinHeld, FinStudy
from finial.report.pictures.axes import LEFT_MM, PAGE_MM, Frame, Scale, covering, framed, over_page, traced
from finial.report.pictures.axis_units import LONG, SPEED, chosen
from finial.report.pictures.legend import level, upright
from finial.report.pictures.svg import (
    BLUE,
    GREY,
    INK,
    RUST,
    element,
    line,
    picture,
    polygon,
    polyline,
    words,
)
from finial.report.strength_words import swing_words

_INKS: Final = (INK, BLUE, RUST, GREY)
_DASHES: Final = (None, "3 1", "1 0.8", "4 1 1 1")
_LEVELS: Final = tuple(np.linspace(-0.9, 0.9, 10))


def fin_modes_picture(fin: FinStudy) -> str:
    """Draw each mode as lines of equal deflection on the fin: solid one way, dashed the other."""
    modes = fin.modes
    count = modes.deflections.shape[1]
    each = (PAGE_MM - 10.0) / count
    low, high = modes.corners_m.min(axis=0), modes.corners_m.max(axis=0)
    scale = min((each - 8.0) / (high[0] - low[0]), 52.0 / (high[1] - low[1]))
    bottom = 4.0 + (high[1] - low[1]) * scale
    drawn: list[str] = []
    for mode in range(count):
        left = 6.0 + mode * each

        def at(point: NDArray[np.float64], left: float = left) -> tuple[float, float]:
            return left + (point[0] - low[0]) * scale, bottom - (point[1] - low[1]) * scale

        drawn.append(polygon([at(corner) for corner in fin.outline_m], stroke_width=0.4))
        for height in _LEVELS:
            parts = _contour(modes.corners_m, modes.triangles, modes.deflections[:, mode], float(height))
            ink, dashes = (BLUE, None) if height > 0 else (RUST, "1.2 0.6")
            drawn += [
                polyline([at(point) for point in part], stroke=ink, stroke_width=0.3, stroke_dasharray=dashes)
                for part in parts
            ]
        for part in _contour(modes.corners_m, modes.triangles, modes.deflections[:, mode], 0.0):
            # The root stands still in every mode: only lines on the fin say something.
            if max(point[1] for point in part) > 0.03 * high[1]:
                drawn.append(polyline([at(point) for point in part], stroke=INK, stroke_width=0.55))
        for pair in _ties(fin):
            x, y = at(np.array(pair))
            drawn.append(polygon([(x - 1, y - 1), (x + 1, y - 1), (x + 1, y + 1), (x - 1, y + 1)], fill=INK))
        kind = swing_words(fin.held.twists[mode]) if mode < len(fin.held.twists) else ""
        label = f"{modes.frequencies_hz[mode]:.0f} Hz, {kind}"
        drawn.append(words(label, (left, bottom + 5.0)))
    key = "thick: stands still; solid and dashed: out to either side; root below; squares: stays"
    drawn.append(words(key, (6.0, bottom + 11.0)))
    return picture(
        "fin-modes",
        (PAGE_MM, bottom + 15.0),
        *drawn,
        title=f"Modes of {fin.name}",
        says=f"{count} modes from {modes.frequencies_hz[0]:.0f} to {modes.frequencies_hz[-1]:.0f} Hz.",
    )


def _ties(fin: FinStudy) -> list[tuple[float, float]]:
    return [(stay.pair.along_m, stay.pair.outward_m) for stay in fin.stays]


def _contour(
    corners: NDArray[np.float64], triangles: NDArray[np.int64], values: NDArray[np.float64], level: float
) -> list[list[NDArray[np.float64]]]:
    """Lines of one level: pieces, one for each triangle crossed, joined end to end."""
    above = values >= level
    ends: dict[tuple[int, int], list[tuple[int, int]]] = {}
    for triangle in triangles[(above[triangles].any(axis=1)) & (~above[triangles]).any(axis=1)]:
        sides = [
            (int(min(a, b)), int(max(a, b))) for a, b in zip(triangle, np.roll(triangle, -1), strict=True)
        ]
        first, second = (side for side in sides if above[side[0]] != above[side[1]])
        ends.setdefault(first, []).append(second)
        ends.setdefault(second, []).append(first)
    return [[_crossing(corners, values, level, side) for side in chain] for chain in _chains(ends)]


def _crossing(
    corners: NDArray[np.float64], values: NDArray[np.float64], level: float, side: tuple[int, int]
) -> NDArray[np.float64]:
    one, two = values[side[0]] - level, values[side[1]] - level
    return corners[side[0]] + one / (one - two) * (corners[side[1]] - corners[side[0]])


def _chains(ends: dict[tuple[int, int], list[tuple[int, int]]]) -> list[list[tuple[int, int]]]:
    """Walk from open ends first, then round what closes on itself."""
    left = {side: list(others) for side, others in ends.items()}
    chains: list[list[tuple[int, int]]] = []
    for start in sorted(left, key=lambda side: len(left[side])):
        chain = [start]
        while left[chain[-1]]:
            ahead = left[chain[-1]].pop()
            left[ahead].remove(chain[-1])
            chain.append(ahead)
        if len(chain) > 1:
            chains.append(chain)
    return chains


def fin_sweep_picture(fin: FinStudy, *, us_units: bool = False) -> str:
    """Draw frequency and damping of each mode over speed; below the line a mode grows."""
    unit = chosen(SPEED, us_units)
    speeds = fin.sweep.speeds_m_s * unit.per_si
    x = over_page(0.0, covering([0.0, *speeds])[1])
    low, high = covering([0.0, *fin.sweep.frequencies_hz.ravel()])
    upper = Frame(
        name="sweep-hz", x=x, y=Scale(low=low, high=high, start_mm=48.0, end_mm=9.0), y_label="frequency, Hz"
    )
    damping = np.clip(100 * fin.sweep.damping, -10.0, 30.0)
    low, high = covering([0.0, *damping.ravel()], at_least=1.0)
    lower = Frame(
        name="sweep-damping",
        x=x,
        y=Scale(low=low, high=high, start_mm=100.0, end_mm=60.0),
        x_label=f"speed, {unit.name}",
        y_label="damping by the air, % of critical; below 0 the swing grows",
    )
    drawn = [framed(upper), framed(lower)]
    for mode in range(fin.sweep.damping.shape[1]):
        style = {"stroke": _INKS[mode % 4], "stroke_dasharray": _DASHES[mode % 4], "stroke_width": 0.5}
        drawn.append(polyline(traced(upper, speeds, fin.sweep.frequencies_hz[:, mode]), **style))
        drawn.append(polyline(traced(lower, speeds, damping[:, mode]), **style))
    drawn.append(level(lower, 0.0, stroke=INK, stroke_width=0.4))
    fastest = fin.top_speed.high * unit.per_si
    drawn += [
        upright(
            frame, fastest, stroke=RUST, stroke_width=0.4, stroke_dasharray="3 1.2", id=f"{frame.name}-top"
        )
        for frame in (upper, lower)
    ]
    # To the left of its line: the fastest flown stands near the scale's end.
    beside = (x.at(fastest) - 1.0, upper.y.end_mm + 4.0)
    drawn.append(words("fastest flown", beside, fill=RUST, text_anchor="end"))
    says = _flutter_words(fin.held, unit.per_si, unit.name)
    drawn.append(words(says, (LEFT_MM, 114.0)))
    return picture("fin-sweep", (PAGE_MM, 118.0), *drawn, title=f"Swings of {fin.name} over speed", says=says)


def _flutter_words(held: FinHeld, per_si: float, unit: str) -> str:
    if held.flutter is None:
        return "Nothing grows below Mach 0.9."
    return f"Swings grow from {held.flutter.value * per_si:.0f} {unit} on, at {held.flutter_hz:.0f} Hz."


def fin_envelope_picture(fin: FinStudy, *, us_units: bool = False) -> str:
    """Draw flutter speed over height beside the fastest the flight is there."""
    speed, height = chosen(SPEED, us_units), chosen(LONG, us_units)
    heights = fin.envelope.heights_agl_m * height.per_si
    flutter, flown = fin.envelope.flutter_m_s * speed.per_si, fin.envelope.flown_m_s * speed.per_si
    known, risen = np.isfinite(flutter), np.isfinite(flown)
    fastest = max([*flutter[known], *flown[risen], 1.0])
    x = over_page(0.0, covering([0.0, fastest])[1])
    y = Scale(low=0.0, high=covering([0.0, *heights])[1], start_mm=62.0, end_mm=9.0)
    frame = Frame(
        name="envelope",
        x=x,
        y=y,
        x_label=f"speed, {speed.name}",
        y_label=f"height above ground, {height.name}",
    )
    drawn = [framed(frame)]
    if risen.any():
        drawn.append(polyline(traced(frame, flown[risen], heights[risen]), stroke=INK, stroke_width=0.5))
    if known.any():
        drawn.append(
            polyline(
                traced(frame, flutter[known], heights[known]),
                stroke=RUST,
                stroke_width=0.6,
                stroke_dasharray="3 1",
            )
        )
    says = "Solid: fastest flown; dashed: flutter." if known.any() else "No flutter below Mach 0.9."
    drawn.append(words(says, (LEFT_MM, 76.0)))
    return picture(
        "fin-envelope", (PAGE_MM, 80.0), *drawn, title=f"Flutter of {fin.name} over height", says=says
    )


def fin_before_and_after(fin: FinStudy, before: FinHeld, after: FinHeld, *, us_units: bool = False) -> str:
    """Draw flutter without and with stays as bars beside the fastest flown."""
    unit = chosen(SPEED, us_units)
    rows = (("without stays", before), ("with stays", after))
    reach = [held.flutter.high * unit.per_si for _, held in rows if held.flutter]
    limit = fin.top_speed.high * unit.per_si
    x = over_page(0.0, covering([0.0, *reach, 1.5 * limit])[1], left_mm=40.0)
    frame = Frame(
        name="stays",
        x=x,
        y=Scale(low=0.1, high=0.9, start_mm=40.0, end_mm=8.0),
        x_label=f"flutter speed, {unit.name}",
    )
    drawn = [framed(frame, y_ticks=1)]
    for order, (name, held) in enumerate(rows):
        top = 12.0 + 14.0 * order
        drawn.append(words(name, (38.0, top + 5.0), text_anchor="end"))
        if held.flutter is None:
            drawn.append(words("none below Mach 0.9", (42.0, top + 5.0)))
            continue
        low, value, high = (
            x.at(end * unit.per_si) for end in (held.flutter.low, held.flutter.value, held.flutter.high)
        )
        bar = [(x.at(0.0), top), (value, top), (value, top + 7.0), (x.at(0.0), top + 7.0)]
        drawn.append(polygon(bar, fill=BLUE if order else "none", stroke=BLUE))
        drawn.append(line((low, top + 3.5), (high, top + 3.5), stroke=INK, stroke_width=0.6))
    drawn.append(
        upright(frame, limit, stroke=RUST, stroke_width=0.5, stroke_dasharray="3 1.2", id="stays-top")
    )
    drawn.append(words("dashed: fastest flown; thin lines: spread of the fin's stiffness", (LEFT_MM, 54.0)))
    freq = f"{before.frequencies_hz[0]:.0f} to {after.frequencies_hz[0]:.0f} Hz"
    return picture(
        "fin-stays",
        (PAGE_MM, 58.0),
        element("g", *drawn),
        title=f"Stays on {fin.name}",
        says=f"The lowest frequency goes from {freq}.",
    )
