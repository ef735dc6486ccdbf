"""Stations given from an end of a part: ``60 mm below the top of 'lantern'``.

They are worked out before anything else is read, from the ends of the parts as drawn, so that every
later rule sees plain lengths.
"""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from difflib import get_close_matches
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np

from finial.core.errors import BuildSheetError, Fault, MeshError, OutsideRange, UnitError
from finial.core.frames import body_from_mesh
from finial.core.trees import is_list, is_table
from finial.core.units import Dimension, parse_quantity
from finial.files.fields import Record, as_written
from finial.files.inside import file_inside
from finial.files.meshes import read_mesh
from finial.files.sheet_keys import KeyTable, KeyValue, table_of
from finial.files.source import TomlSource
from finial.files.toml_places import KeyPath

FROM_A_PART = (
    r"(?:(?P<distance>[^'\"]+?)\s+(?P<sense>below|above)\s+)?(?:the\s+)?(?P<end>top|middle|bottom)"
    r"\s+of\s+(?P<quote>['\"])(?P<part>[^'\"]+)(?P=quote)"
)
"""How such a station is written; an end alone is a station too."""
ACCEPTED = 'a length such as "60 mm", or "60 mm below the top of \'tower\'"'
_RELATIVE = re.compile(rf"\s*{FROM_A_PART}\s*")
_LOOKS_RELATIVE = re.compile(r"\b(?:top|middle|bottom)\s+of\b|\b(?:below|above)\b")
_SHARE = {"top": 0.0, "middle": 0.5, "bottom": 1.0}


@dataclass(frozen=True, slots=True)
class _NotPlaced(Exception):
    """A station that cannot be worked out: what is accepted, and the likely slip."""

    accepted: str
    likely_slip: str = ""


def with_part_stations(
    source: TomlSource, folder: Path, record: type[Record], mesh_suffixes: tuple[str, ...]
) -> tuple[TomlSource, list[Fault]]:
    """Return the source with every station that is given from a part worked out, and what could not be.

    Parameters
    ----------
    source : TomlSource
        The build sheet.
    folder : Path
        Its folder.
    record : type of Record
        What the sheet is read into; says which keys are stations.
    mesh_suffixes : tuple of str
        Endings of the mesh files that may be read.

    Notes
    -----
    The ends of a part are those of its mesh as drawn, before it is mended, or of its stack of tiers.
    """
    ends = _Ends(source, folder, mesh_suffixes)
    faults: list[Fault] = []

    def placed(text: str, where: KeyPath) -> str:
        try:
            return _placed(text, ends)
        except _NotPlaced as error:
            given = as_written(text)
            faults.append(
                source.fault(where, given=given, accepted=error.accepted, likely_slip=error.likely_slip)
            )
            return text

    def walked(value: Any, kind: KeyValue | None, where: KeyPath) -> Any:
        if isinstance(value, str) and kind is not None and kind.measured is not None:
            relative = kind.measured.station and _LOOKS_RELATIVE.search(value)
            return placed(value, where) if relative else value
        if is_table(value):
            table = kind.table if kind else None
            return {key: walked(inner, _kind_of(table, key), (*where, key)) for key, inner in value.items()}
        if is_list(value):
            kinds = _entry_kinds(kind, len(value))
            return [walked(inner, kinds[index], (*where, index)) for index, inner in enumerate(value)]
        return value

    top = table_of(record)
    values = {key: walked(inner, _kind_of(top, key), (key,)) for key, inner in source.values.items()}
    return replace(source, values=values), faults


def _kind_of(table: KeyTable | None, key: str) -> KeyValue | None:
    found = table.key(key) if table else None
    return found.value if found else None


def _entry_kinds(kind: KeyValue | None, count: int) -> list[KeyValue | None]:
    if kind is None or not kind.entries:
        return [None] * count
    if len(kind.entries) == 1:
        return [kind.entries[0]] * count
    return [kind.entries[index] if index < len(kind.entries) else None for index in range(count)]


def _placed(text: str, ends: "_Ends") -> str:
    """Write a station from a part as a plain length, its tolerance kept."""
    found = _RELATIVE.fullmatch(text)
    if not found:
        raise _NotPlaced(ACCEPTED, _slip(text))
    fore, aft = ends.of(found["part"].strip())
    station = fore + _SHARE[found["end"]] * (aft - fore)
    if found["distance"] is None:
        return _written(station, 0.0)
    try:
        distance = parse_quantity(found["distance"], Dimension.LENGTH, minimum=0.0)
    except UnitError as error:
        raise _NotPlaced(error.accepted, error.likely_slip) from error
    station += distance.value if found["sense"] == "below" else -distance.value
    if station < 0.0:
        raise _NotPlaced(f"a station on the vehicle: this one lies {-1e3 * station:.1f} mm ahead of its tip")
    return _written(station, distance.tolerance)


def _slip(text: str) -> str:
    if "'" not in text and '"' not in text:
        return "the part's name stands in quotes of its own: 'tower'"
    return "aft is below: write how far, below or above, and the top, middle or bottom of a part"


def _written(station_m: float, tolerance_m: float) -> str:
    written = f"{1e3 * station_m:.3f}".rstrip("0").rstrip(".")
    return f"{written} mm +- {1e3 * tolerance_m:g} mm" if tolerance_m else f"{written} mm"


class _Ends:
    """Stations at which the parts begin and end; meshes are read only once they are asked for."""

    def __init__(self, source: TomlSource, folder: Path, mesh_suffixes: tuple[str, ...]) -> None:
        self._source, self._folder, self._suffixes = source, folder, mesh_suffixes
        entries = source.values.get("part")
        tables = [entry for entry in entries if is_table(entry)] if is_list(entries) else []
        self._index = {str(entry.get("name", "")).strip(): number for number, entry in enumerate(tables)}
        self._parts = tables
        self._reach = cache(self._reach_of)

    def of(self, name: str) -> tuple[float, float]:
        """Stations of a part's top and bottom [m]."""
        number = self._index.get(name)
        if number is None:
            close = get_close_matches(name, self._index, n=1)
            listed = ", ".join(f"'{known}'" for known in self._index)
            raise _NotPlaced(f"the name of a part: {listed}", f"did you mean '{close[0]}'?" if close else "")
        part = self._parts[number]
        if "tiers" in part:
            return self._stack(part)
        low, high = self._reach(number)
        tip = max((self._reach(one)[1] for one in self._outside()), default=high)
        return tip - high, tip - low

    def _outside(self) -> Iterator[int]:
        for number, part in enumerate(self._parts):
            if "mesh" in part and part.get("outside", True) is not False:
                yield number

    def _stack(self, part: Mapping[str, Any]) -> tuple[float, float]:
        try:
            fore = parse_quantity(part.get("tip_station", "0 mm"), Dimension.LENGTH).value
            heights = [parse_quantity(tier.get("height"), Dimension.LENGTH).value for tier in part["tiers"]]
        except (UnitError, AttributeError, TypeError) as error:
            raise _NotPlaced("a part whose own tip_station and heights are plain lengths") from error
        return fore, fore + sum(heights)

    def _reach_of(self, number: int) -> tuple[float, float]:
        """How far a mesh reaches along the axis that points up [m]: low, high."""
        part = self._parts[number]
        try:
            path = file_inside(self._folder, self._source, ("part", number, "mesh"), self._suffixes)
            mesh = read_mesh(path, part.get("mesh_unit"))
            up = body_from_mesh(str(self._up()))[0]
        except (BuildSheetError, MeshError, OutsideRange) as error:
            raise _NotPlaced("a part whose mesh can be read: mend that first") from error
        along = mesh.vertices_m @ np.asarray(up)
        return float(along.min()), float(along.max())

    def _up(self) -> object:
        vehicle = self._source.values.get("vehicle")
        return vehicle.get("up", "+z") if is_table(vehicle) else "+z"
