"""One shape at many heights, as a table and as plain numbers."""

from collections.abc import Iterator, Sequence
from typing import Any

from finial.core.dimensions import Dimension
from finial.report.document import ReportSection, Table
from finial.report.estimate_json import known_plain
from finial.report.lines import WIDTH, TextLine, caution_lines, section_lines
from finial.report.print_text import hours
from finial.report.shown import NOT_KNOWN, Shown
from finial.sizing.scale import ScaledModel, Scaling

_OWN = ("of yours", "thrust over weight", "off the rail")


def scale_lines(
    shape: Scaling, models: Sequence[ScaledModel], *, us_units: bool, width: int = WIDTH
) -> tuple[TextLine, ...]:
    """List the heights, the smallest first."""
    section = scale_section(shape, models, Shown(us_units=us_units))
    return (*section_lines(section, width=width), *caution_lines(width=width))


def scale_section(shape: Scaling, models: Sequence[ScaledModel], shown: Shown) -> ReportSection:
    """Put the heights in a table."""
    return ReportSection(
        key="scale",
        title=f"{shape.name} at other heights",
        facts=(("as drawn", shown.length(shape.length_m)),),
        tables=(
            Table(
                title="Heights",
                columns=(
                    *("height", "scale", "lift-off mass", "motor"),
                    *(_OWN if shape.motors else ()),
                    *("pieces", "printing", "margin, widths"),
                ),
                rows=tuple(_row(shape, one, shown) for one in models),
                numbers=(0, 4 + (len(_OWN) if shape.motors else 0)),
            ),
        ),
        notes=tuple(_notes(shape, models)),
    )


def _notes(shape: Scaling, models: Sequence[ScaledModel]) -> Iterator[str]:
    yield (
        "Walls, the thickness of plates and all that is bought stay as in the sheet. The motor is a "
        f"guess: thrust of {shape.thrust_to_weight:g} times the weight for 1 to 3 s, near the base. "
        "A first look: "
        "strength, flight and recovery are not part of it; run finial check on the height you choose."
    )
    if shape.motors:
        yield (
            f"Of yours: that of the least impulse in motors/ that {_goes_in(shape)} and whose average "
            "thrust is as much at the heavy end of the mass. Mass and margin are with it, its nozzle at the "
            "base; without one, with the guess. What it does in flight: finial motors."
        )
        if shape.launch is None:
            yield "Speed off the rail is not known without [launch] and [guide]: write them into the sheet."
    if any(one.pieces is None or one.print_time_s is None for one in models):
        yield "Pieces and hours are not known without a bed and a printer: write [print] into the sheet."


def _goes_in(shape: Scaling) -> str:
    if shape.room is None:
        return "is smaller than the model (no room for one is drawn at the base)"
    return "goes into the room drawn at the base, which grows with the shape,"


def _own(one: ScaledModel, shown: Shown) -> tuple[str, ...]:
    """Say the builder's own motor, and what it does at the start."""
    if one.motor is None or one.thrust_to_weight is None:
        return "none", "", ""
    speed = one.rail_speed
    off = NOT_KNOWN if speed is None else shown.between(speed, Dimension.SPEED)
    return one.motor, shown.between(one.thrust_to_weight, Dimension.RATIO), off


def _row(shape: Scaling, one: ScaledModel, shown: Shown) -> tuple[str, ...]:
    first, last = one.letters
    return (
        shown.length(one.height_m),
        f"1:{1 / one.scale:.1f}",
        shown.between(one.lift_off_kg, Dimension.MASS),
        first if first == last else f"{first} to {last}",
        *(_own(one, shown) if shape.motors else ()),
        NOT_KNOWN if one.pieces is None else f"{one.pieces} or more",
        NOT_KNOWN if one.print_time_s is None else hours(one.print_time_s),
        shown.between(one.margin_widths, Dimension.RATIO),
    )


def scale_plain(shape: Scaling, models: Sequence[ScaledModel]) -> dict[str, Any]:
    """Return plain numbers in SI."""
    return {
        "vehicle": shape.name,
        "drawn_m": shape.length_m,
        "thrust_to_weight": shape.thrust_to_weight,
        "models": [
            {
                "height_m": one.height_m,
                "scale": one.scale,
                "dry_kg": known_plain(one.dry_kg),
                "lift_off_kg": known_plain(one.lift_off_kg),
                "impulse_ns": known_plain(one.impulse_ns),
                "motor": list(one.letters),
                "of_yours": one.motor,
                "thrust_to_weight": None
                if one.thrust_to_weight is None
                else known_plain(one.thrust_to_weight),
                "rail_speed_m_s": None if one.rail_speed is None else known_plain(one.rail_speed),
                "pieces": one.pieces,
                "print_time_s": None if one.print_time_s is None else known_plain(one.print_time_s),
                "margin_m": known_plain(one.margin_m),
                "margin_widths": known_plain(one.margin_widths),
            }
            for one in models
        ],
    }
