"""Parts that do not stand together: no tip, gaps, inner parts that stick out."""

from collections.abc import Callable, Iterator, Sequence

from finial.core.dimensions import Dimension
from finial.core.errors import BuildSheetError
from finial.core.units import show
from finial.files.sheet import LoadedSheet, Sheet

Shown = Callable[[float], str]
Spans = Sequence[tuple[bool, tuple[float, float]]]
"""For each part: does it belong to the outside, and the stations it reaches from and to [m]."""

_TIP_M = 50e-6
_GAP_SHARE = 0.05
"""A gap between outside parts beyond this share of the length is a part that stands elsewhere [-]."""
_INNER_LENGTHS = 1.0
"""A part with ``outside = false`` that reaches so many lengths beyond the skin stands elsewhere [-]."""
_ORIGINS = "another mesh_unit, or meshes that do not share one origin"


def refuse_scattered(files: LoadedSheet, spans_m: Spans) -> None:
    """Refuse parts that do not stand together: a tip that is none, gaps, inner parts that stick out.

    Parameters
    ----------
    files : LoadedSheet
        The sheet.
    spans_m : sequence
        For each part: does it belong to the outside, and the stations it reaches from and to [m].

    Raises
    ------
    BuildSheetError
        With all such parts.
    """
    source, us_units = files.source, files.sheet.vehicle.us_units
    faults = [
        source.fault(("part", index), given=given, accepted=accepted, likely_slip=slip)
        for index, given, accepted, slip in scattered_parts(
            files.sheet, spans_m, lambda m: show(m, Dimension.LENGTH, us_units)
        )
    ]
    if faults:
        raise BuildSheetError(faults)


def refuse_all_inside(files: LoadedSheet) -> None:
    """Refuse a sheet whose parts all have ``outside = false``.

    Raises
    ------
    BuildSheetError
        If the air would see none of them.
    """
    if not any(part.outside for part in files.sheet.part):
        fault = files.source.fault(
            ("part",), given="outside = false on every part", accepted="at least one part that the air sees"
        )
        raise BuildSheetError([fault])


def scattered_parts(sheet: Sheet, spans_m: Spans, shown: Shown) -> Iterator[tuple[int, str, str, str]]:
    """Parts that stand off the others: which, what is given, what is accepted, and the likely slip.

    Parameters
    ----------
    sheet : Sheet
        With the parts by name.
    spans_m : sequence
        Of each part, whether it is outside, and its ends [m].
    shown : callable
        Writes a length [m] as the builder reads it.
    """
    outer = sorted((span, index) for index, (outside, span) in enumerate(spans_m) if outside)
    (fore, reached), ahead = outer[0]
    if fore > _TIP_M:
        given = f"a first part that begins at station {shown(fore)}"
        yield ahead, given, "a tip at station 0", "tip_station counts from the tip of the whole vehicle"
    length = max(aft for (_, aft), _ in outer)
    for (fore, aft), index in outer[1:]:
        if fore - reached > _GAP_SHARE * length:
            given = f"a gap of {shown(fore - reached)} between {sheet.part[ahead].name} and this part"
            yield index, given, "outside parts that touch, tip to base", _ORIGINS
        if aft >= reached:
            reached, ahead = aft, index
    for index, (outside, (fore, aft)) in enumerate(spans_m):
        beyond = max(-fore, aft - length)
        if not outside and beyond > _INNER_LENGTHS * length:
            given = (
                f"{sheet.part[index].name} has outside = false, and sticks {shown(beyond)} out of the skin"
            )
            yield index, given, f"an inner part between 0 and {shown(length)}", _ORIGINS
