"""Pressure in a bay over time, for each charge and for all of them at once."""

from typing import Final

from finial.assemble.recovery.records import BurstStudy, Shot
from finial.report.pictures.axes import PAGE_MM, Frame, Scale, bare, covering, framed, over_page, traced
from finial.report.pictures.axis_units import SPEED, AxisUnit, chosen
from finial.report.pictures.legend import ROW_MM, LegendRow, key
from finial.report.pictures.svg import BLUE, GREY, INK, RUST, clipped, element, picture, polyline
from finial.report.recovery_words import shot_words

_NAME: Final = "pressure"
_PRESSURE: Final = (AxisUnit(name="kPa", per_si=1e-3), AxisUnit(name="psi", per_si=1 / 6894.757293168361))
_STYLES: Final = ((BLUE, None), (RUST, "3 1"), (INK, "0.8 0.8"), (GREY, "4 1 1 1"))
_KEY_MM: Final = 114.0
_ROWS: Final = ((58.0, 8.0), (100.0, 68.0))


def pressure_over_time(burst: BurstStudy, *, us_units: bool = False) -> str:
    """Draw pressure above, speed of parting below; thick the central case, thin its weak and strong ends."""
    pressure, speed = chosen(_PRESSURE, us_units), chosen(SPEED, us_units)
    shots = burst.shots[: len(_STYLES)]
    last = max(float(history.times_s[-1]) for shot in shots for history in shot.histories)
    x = over_page(0.0, 1e3 * min(last, 0.06))
    graphs: list[str] = []
    for row, (label, field, factor) in enumerate(
        (
            (f"pressure above the air outside, {pressure.name}", "pressures_pa", pressure.per_si),
            (f"speed of parting, {speed.name}", "speeds_m_s", speed.per_si),
        )
    ):
        values = [getattr(history, field) * factor for shot in shots for history in shot.histories]
        low, high = covering(
            [0.0, *(float(one.min()) for one in values), *(float(one.max()) for one in values)]
        )
        y = Scale(low=low, high=high, start_mm=_ROWS[row][0], end_mm=_ROWS[row][1])
        frame = Frame(
            name=f"{_NAME}-{row}", x=x, y=y, x_label="time from ignition of the powder, ms", y_label=label
        )
        graphs.append(framed(frame if row == 1 else bare(frame)))
        graphs += [_curves(frame, shot, order, (field, factor)) for order, shot in enumerate(shots)]
    first = shots[0]
    says = (
        f"{shot_words(first)}: peak {first.peak.value * pressure.per_si:.0f} {pressure.name}, "
        f"the closed form says {first.closed_form_pa.value * pressure.per_si:.0f}; parts at "
        f"{first.speed.value * speed.per_si:.1f} {speed.name}."
    )
    rows = _key(shots, pressure)
    height = _KEY_MM + ROW_MM * len(rows)
    body = (*graphs, key(rows, (x.start_mm, _KEY_MM)))
    return picture(_NAME, (PAGE_MM, height), *body, title=f"Charges of {burst.bay} in time", says=says)


def _curves(frame: Frame, shot: Shot, order: int, quantity: tuple[str, float]) -> str:
    field, factor = quantity
    colour, dashes = _STYLES[order]
    drawn: list[str] = []
    for end, history in zip(("weak", "central", "strong"), shot.histories, strict=True):
        kept = 1e3 * history.times_s <= frame.x.high
        drawn.append(
            polyline(
                traced(frame, 1e3 * history.times_s[kept], getattr(history, field)[kept] * factor),
                stroke=colour,
                stroke_width=0.6 if end == "central" else 0.2,
                stroke_dasharray=dashes,
                id=f"{frame.name}-shot-{order}-{end}",
            )
        )
    return element("g", *drawn)


def _key(shots: tuple[Shot, ...], pressure: AxisUnit) -> tuple[LegendRow, ...]:
    rows = [
        LegendRow(text=_told(shot, pressure), stroke=colour, dashes=dashes)
        for shot, (colour, dashes) in zip(shots, _STYLES[: len(shots)], strict=True)
    ]
    ends = "thin: weak and strong end of everything assumed; a ground test decides"
    return (*rows, LegendRow(text=ends))


def _told(shot: Shot, pressure: AxisUnit) -> str:
    closed = shot.closed_form_pa.value * pressure.per_si
    grams = 1000 * shot.powder_kg
    return f"{clipped(shot_words(shot), 40)}, {grams:.2f} g; closed form {closed:.0f} {pressure.name}"
