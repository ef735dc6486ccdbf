"""The day on the field: what was read there, and the verdict with it beside the sheet's."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from finial.assemble.vehicle.changes import Changes, reread
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.core.trees import is_list, is_table
from finial.files.edit import Value
from finial.files.source import read_toml
from finial.files.toml_places import KeyPath
from finial.findings.advice import answered
from finial.findings.check import Tell, readiness, silent
from finial.findings.finding import Moved
from finial.findings.kept_tops import kept_tops
from finial.findings.range_stage import codes_of
from finial.findings.readiness import Readiness
from finial.findings.tries import everything_moved


@dataclass(frozen=True, slots=True, kw_only=True)
class Read:
    """One value that was read today, as it was written, beside the sheet's."""

    place: KeyPath
    by_sheet: Value | None
    """``None`` where the sheet has none."""
    today: Value


@dataclass(frozen=True, slots=True, kw_only=True)
class Today:
    """Answers by the sheet and by what was read today."""

    sheet: Readiness
    today: Readiness
    moved: tuple[Moved, ...]
    """What fails since, then what no longer does, then what lost margin."""
    read: tuple[Read, ...] = ()


def today(vehicle: LoadedVehicle, read: Changes, tell: Tell = silent) -> Today:
    """Answer by the sheet, and by the sheet with what was read today in its places.

    Raises
    ------
    BuildSheetError
        With all faults of what was read.
    """
    changed = reread(vehicle, read, codes_of)
    tell("answering by the sheet")
    # What would turn the sheet's own answer is not asked on the field: only today's is tried.
    before = readiness(vehicle, tops=kept_tops(vehicle), tell=tell)
    tell("answering by what was read today")
    after = answered(changed, tell=tell)
    return Today(
        sheet=before,
        today=after,
        moved=everything_moved(before, after),
        read=tuple(_read(read_toml(vehicle.files.path).values, read)),
    )


def _read(values: dict[str, Any], read: Changes) -> Iterator[Read]:
    """Every value that was read with the one in its place; a table entry by entry."""
    for place, value in read.items():
        entries = {(*place, key): one for key, one in value.items()} if isinstance(value, Mapping) else {}
        for where, today in (entries or {place: value}).items():
            yield Read(place=where, by_sheet=_at(values, where), today=today)


def _at(values: Any, place: KeyPath) -> Value | None:
    for step in place:
        if isinstance(step, int):
            values = values[step] if is_list(values) and step < len(values) else None
        else:
            values = values.get(step) if is_table(values) else None
    return values
