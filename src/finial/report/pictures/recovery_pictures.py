"""All pictures of ``finial recovery``, by file name."""

from collections.abc import Sequence
from typing import TypeVar

from finial.findings.readiness import Readiness
from finial.report.pictures.recovery_opening import opening_over_time
from finial.report.pictures.recovery_pressure import pressure_over_time
from finial.report.pictures.recovery_tension import tension_over_time
from finial.report.pictures.recovery_zipper import margin_over_events


def recovery_pictures(readiness: Readiness) -> dict[str, str]:
    """SVG text of tension, lip strength, bay pressure and opening load, for every cord, bay and canopy."""
    us, study = readiness.us_units, readiness.recovery_study
    if study is None:
        return {}
    drawn: dict[str, str] = {}
    for tether, mark in _marked(study.tethers):
        drawn[f"tension{mark}.svg"] = tension_over_time(tether, us_units=us)
        if tether.lip:
            drawn[f"zipper{mark}.svg"] = margin_over_events(tether, us_units=us)
    for burst, mark in _marked(study.bursts):
        drawn[f"pressure{mark}.svg"] = pressure_over_time(burst, us_units=us)
    for canopy, mark in _marked(study.canopies):
        drawn[f"opening{mark}.svg"] = opening_over_time(canopy, us_units=us)
    return drawn


Study = TypeVar("Study")


def _marked(records: Sequence[Study]) -> list[tuple[Study, str]]:
    """Pair each record with what tells its file apart; nothing if it is the only one."""
    only = len(records) == 1
    return [(record, "" if only else f"-{number}") for number, record in enumerate(records, start=1)]
