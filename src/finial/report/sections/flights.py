"""Flights of the logbook in the report: all in a table, and a debrief of the last one."""

from finial.core.dimensions import Dimension
from finial.core.estimates import KnownBy
from finial.core.units import Quantity
from finial.logbook.several import joint
from finial.report.annex import Annex, KeptEntry
from finial.report.document import ReportSection, Table
from finial.report.logbook_text import logbook_section
from finial.report.pictures.log_traces import kept_traces
from finial.report.shown import NOT_KNOWN, Shown

_PICTURE = "last-flight.svg"


def flights_sections(annex: Annex, shown: Shown) -> tuple[ReportSection, ...]:
    """Sections on the flights kept beside the sheet; none where none is kept."""
    if not annex.flights:
        return ()
    last = annex.flights[-1]
    joints = joint((one.name, one.flight) for one in annex.flights)
    return (
        ReportSection(
            key="flights",
            title="Flights so far",
            tables=(
                Table(
                    title="",
                    columns=("flight", "apogee", "predicted for that day", "counts", "repaired", "changed"),
                    rows=tuple(_row(one, shown) for one in annex.flights),
                    numbers=(1, 2),
                ),
            ),
            notes=(
                "The answer in this report stands on the sheet as it is written now, not on the logbook.",
            ),
        ),
        ReportSection(
            key="debrief",
            title=f"Debrief of the last flight: {last.name}",
            facts=_facts(last, shown),
            pictures=(_PICTURE,) if last.curves else (),
            notes=() if last.curves else ("Its curves are gone: keep the flight anew to see them.",),
        ),
        *((logbook_section(joints, shown),) if joints else ()),
    )


def flights_pictures(annex: Annex | None, *, us_units: bool) -> dict[str, str]:
    """Return the picture of the last flight by its file name; none without its curves."""
    last = annex.flights[-1] if annex is not None and annex.flights else None
    if last is None or last.curves is None:
        return {}
    return {_PICTURE: kept_traces(last.curves, us_units=us_units, title=f"The flight {last.name}")}


def _row(one: KeptEntry, shown: Shown) -> tuple[str, ...]:
    flight = one.flight
    return (
        one.name,
        _shown(flight.apogee, Dimension.LENGTH, shown),
        _shown(flight.predicted, Dimension.LENGTH, shown),
        "no" if flight.left_out else "yes",
        flight.repaired or "nothing told",
        flight.changed or "nothing told",
    )


def _facts(one: KeptEntry, shown: Shown) -> tuple[tuple[str, str], ...]:
    flight = one.flight
    facts = [
        ("logs", ", ".join(flight.logs)),
        ("apogee by the log", _shown(flight.apogee, Dimension.LENGTH, shown)),
        ("predicted for that day", _shown(flight.predicted, Dimension.LENGTH, shown)),
    ]
    if flight.misfit is not None:
        facts.append(("corrected model misses by", f"{flight.misfit.value:.1f} times the sensors' noise"))
    for words, quantity, dimension in (
        ("drag over the computed, by this flight", flight.drag, Dimension.RATIO),
        ("centre of pressure aft of the computed", flight.pressure_centre, Dimension.LENGTH),
        ("friction on the rail", flight.friction, Dimension.RATIO),
    ):
        if quantity is not None:
            facts.append((words, _shown(quantity, dimension, shown)))
    for canopy in flight.canopy:
        for words, quantity, dimension in (
            ("drag area", canopy.drag_area, Dimension.AREA),
            ("out after its event", canopy.delay, Dimension.TIME),
            ("event at", canopy.height, Dimension.LENGTH),
        ):
            if quantity is not None:
                facts.append((f"{canopy.name}: {words}", _shown(quantity, dimension, shown)))
    if flight.no_longer:
        facts.append(("void from here on", ", ".join(flight.no_longer)))
    return tuple(facts)


def _shown(quantity: Quantity | None, dimension: Dimension, shown: Shown) -> str:
    if quantity is None:
        return NOT_KNOWN
    return shown.between(quantity.estimate(KnownBy.MEASURED), dimension)
