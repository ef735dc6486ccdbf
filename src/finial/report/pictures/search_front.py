"""The front of a search: lightest against highest, or what is sought against the odds, numbered."""

from collections.abc import Callable, Sequence
from typing import Final

from finial.report.pictures.axes import Frame, Scale, covering, framed
from finial.report.pictures.axis_units import LONG, MASS, AxisUnit, chosen
from finial.report.pictures.svg import BLUE, GREY, RUST, element, picture, words
from finial.report.words import counted
from finial.sizing.found_front import FrontRow
from finial.sizing.judged import Aim

_NAME: Final = "search-front"
_SIZE_MM: Final = (150.0, 104.0)
_RADIUS_MM: Final = 1.6
_PERCENT: Final = AxisUnit(name="%", per_si=100.0)


def search_front(
    front: Sequence[FrontRow],
    aim: Aim,
    goes: Callable[[FrontRow], bool],
    chosen_number: int | None = None,
    *,
    us_units: bool = False,
) -> str:
    """Mass to the right, apogee up; with odds what is sought to the right, and the odds up.

    Numbers are those of the table; ``goes`` tells which goes by the whole look.
    """
    mass, height = chosen(MASS, us_units), chosen(LONG, us_units)
    asked = any(row.judged.odds is not None for row in front)
    across = height if asked and aim is Aim.HIGHEST else mass
    points = [
        (
            (row.judged.apogee_m if across is height else row.judged.mass_kg) * across.per_si,
            (row.judged.odds or 0.0) * _PERCENT.per_si if asked else row.judged.apogee_m * height.per_si,
        )
        for row in front
    ]
    frame = _frame(
        points,
        f"{'apogee' if across is height else 'lift-off mass'}, {across.name}",
        f"odds at least, {_PERCENT.name}" if asked else f"apogee, {height.name}",
    )
    marks: list[str] = []
    for number, (row, point) in enumerate(zip(front, points, strict=True), 1):
        at = frame.x.at(point[0]), frame.y.at(point[1])
        colour = RUST if number == chosen_number else BLUE if goes(row) else GREY
        mark = {"id": f"{_NAME}-chosen"} if number == chosen_number else {}
        marks.append(element("circle", cx=at[0], cy=at[1], r=_RADIUS_MM, fill=colour, **mark))
        marks.append(words(str(number), (at[0] + 2.4, at[1] - 1.6), font_size=2.5))
    told = words(
        "designs that no other beats in both; blue: goes by the whole look; grey: does not; rust: chosen",
        (4.0, 99.0),
        font_size=2.6,
    )
    going = sum(map(goes, front))
    says = f"{counted(len(front), 'design')} that no other beats, {going} of them go."
    return picture(_NAME, _SIZE_MM, framed(frame), *marks, told, title="Front of the search", says=says)


def _frame(points: Sequence[tuple[float, float]], across: str, up: str) -> Frame:
    x, y = (covering([point[axis] for point in points] or [0.0], pad=0.06) for axis in (0, 1))
    return Frame(
        name=_NAME,
        x=Scale(low=x[0], high=x[1], start_mm=16.0, end_mm=146.0),
        y=Scale(low=y[0], high=y[1], start_mm=84.0, end_mm=8.0),
        x_label=across,
        y_label=up,
    )
