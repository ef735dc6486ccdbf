"""Fins against ballast against apogee: every fin tried, and the front that nothing beats, numbered."""

from typing import Final

from finial.report.pictures.axes import Frame, Scale, covering, framed
from finial.report.pictures.axis_units import LONG, MASS, chosen
from finial.report.pictures.svg import BLUE, GREY, RUST, element, number, picture, words
from finial.report.words import counted
from finial.sizing.trade import Tried

_NAME: Final = "front"
_SIZE_MM: Final = (150.0, 104.0)
_SMALLEST_MM, _LARGEST_MM = 0.8, 2.6


def size_front(tried: tuple[Tried, ...], chosen_number: int | None = None, *, us_units: bool = False) -> str:
    """Ballast to the right, apogee up; the larger a dot, the farther its fins reach.

    Numbers are those of the table: designs on the front, least ballast first.
    """
    mass, height = chosen(MASS, us_units), chosen(LONG, us_units)
    x = covering([one.ballast_kg * mass.per_si for one in tried], pad=0.06)
    y = covering([one.look.apogee_m * height.per_si for one in tried], pad=0.06)
    frame = Frame(
        name=_NAME,
        x=Scale(low=x[0], high=x[1], start_mm=16.0, end_mm=146.0),
        y=Scale(low=y[0], high=y[1], start_mm=84.0, end_mm=8.0),
        x_label=f"ballast, {mass.name}",
        y_label=f"apogee, {height.name}",
    )
    spans = [one.look.span_m for one in tried]
    body: list[str] = []
    labels: list[str] = []
    place = 0
    for one in tried:
        at = frame.x.at(one.ballast_kg * mass.per_si), frame.y.at(one.look.apogee_m * height.per_si)
        place += one.is_best
        is_chosen = one.is_best and place == chosen_number
        body.append(_dot(one, at, (min(spans), max(spans)), is_chosen=is_chosen))
        if one.is_best:
            labels.append(words(str(place), (at[0] + 2.4, at[1] - 1.6), font_size=2.5))
    told = words(
        "blue: no other beats it in ballast, reach and apogee at once; larger: longer fins; rust: chosen",
        (4.0, 99.0),
        font_size=2.6,
    )
    says = f"{counted(len(tried), 'design')}, {place} of them on the front."
    return picture(
        _NAME, _SIZE_MM, framed(frame), *body, *labels, told, title="Fins, ballast, apogee", says=says
    )


def _dot(one: Tried, at: tuple[float, float], spans: tuple[float, float], *, is_chosen: bool) -> str:
    share = 0.5 if spans[1] <= spans[0] else (one.look.span_m - spans[0]) / (spans[1] - spans[0])
    radius = _SMALLEST_MM + share * (_LARGEST_MM - _SMALLEST_MM)
    colour = RUST if is_chosen else BLUE if one.is_best else GREY
    opacity = 1.0 if one.is_best else 0.35
    mark = {"id": f"{_NAME}-chosen"} if is_chosen else {}
    return element(
        "circle",
        cx=at[0],
        cy=at[1],
        r=radius,
        fill=colour,
        fill_opacity=opacity,
        data_span=number(share),
        **mark,
    )
