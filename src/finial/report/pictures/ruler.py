"""A ruler of stations under a picture of the whole vehicle."""

from finial.report.pictures.axes import Scale, plain, round_ticks
from finial.report.pictures.axis_units import SHORT, chosen
from finial.report.pictures.svg import FONT_MM, element, line, number, words


def station_ruler(name: str, station: Scale, length_m: float, y_mm: float, *, us_units: bool) -> str:
    """Draw the stations from the tip to the base, and what they count from; 9 mm high."""
    unit = chosen(SHORT, us_units)
    longest = max(length_m, station.high) * unit.per_si
    values = [value for value in round_ticks(0.0, longest, 8) if value <= longest * (1 + 1e-9)]
    ticks: list[str] = []
    for value in values:
        at = station.at(value / unit.per_si)
        mark = line((at, y_mm), (at, y_mm + 1.8))
        label = words(plain(value), (at, y_mm + 1.8 + FONT_MM), text_anchor="middle")
        ticks.append(element("g", mark, label, id=f"{name}-station-{plain(value)}", data_x=number(at)))
    rule = line((station.start_mm, y_mm), (station.end_mm, y_mm))
    middle = (station.start_mm + station.end_mm) / 2
    title = words(f"station aft of the tip, {unit.name}", (middle, y_mm + 8.2), text_anchor="middle")
    return element("g", rule, *ticks, title)
