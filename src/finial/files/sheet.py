"""The build sheet: one TOML file that describes the whole vehicle, with its motor and site."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeVar

from pydantic import ValidationError

from finial.core.errors import BuildSheetError, Fault
from finial.core.trees import is_table
from finial.files.air_columns import AirColumns, read_air_columns
from finial.files.faults import faults_from
from finial.files.fields import Record
from finial.files.inside import file_inside
from finial.files.motor_data import CURVE_SUFFIXES, MotorData, read_motor
from finial.files.part_stations import with_part_stations
from finial.files.sheet_body import (
    FinEntry,
    GuideEntry,
    ItemEntry,
    OwnMaterialEntry,
    PartEntry,
    PrintBedEntry,
    RodEntry,
    VehicleEntry,
)
from finial.files.sheet_day import AirEntry, FlownEntry, LaunchEntry, LimitsEntry, WeighingEntry
from finial.files.sheet_keys import accepted_words, table_of
from finial.files.sheet_motor import MotorMountEntry
from finial.files.sheet_recovery import ElectronicsEntry, RecoveryEntry
from finial.files.sheet_rules import MESH_SUFFIXES, faults_between_fields, tables
from finial.files.sheet_scatter import ScatterEntry
from finial.files.sheet_sizes import faults_of_sizes
from finial.files.site import Field, Site, read_site, read_site_field
from finial.files.source import TomlSource, read_toml
from finial.files.tunnel_runs import RUNS_SUFFIXES, TunnelRun, read_tunnel_runs
from finial.files.unfinished import NO_MOTOR, NO_SITE, with_stand_ins
from finial.files.wind_column import WindColumn, read_wind_column

Answer = TypeVar("Answer")


class Sheet(Record):
    """One vehicle, its launch and the limits it is judged by."""

    vehicle: VehicleEntry
    material: tuple[OwnMaterialEntry, ...] = ()
    part: tuple[PartEntry, ...] = ()
    item: tuple[ItemEntry, ...] = ()
    rod: tuple[RodEntry, ...] = ()
    fin: tuple[FinEntry, ...] = ()
    motor: MotorMountEntry
    guide: GuideEntry | None = None
    recovery: RecoveryEntry = RecoveryEntry()
    electronics: ElectronicsEntry = ElectronicsEntry()
    weighing: WeighingEntry | None = None
    launch: LaunchEntry
    air: AirEntry | None = None
    flown: FlownEntry | None = None
    limits: LimitsEntry = LimitsEntry()
    scatter: ScatterEntry = ScatterEntry()
    print: PrintBedEntry | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadedSheet:
    """A sheet with the motor and the site it names. Meshes are read by :mod:`finial.files.meshes`."""

    sheet: Sheet
    source: TomlSource
    motor: MotorData
    site: Site
    path: Path
    folder: Path
    missing: tuple[str, ...] = ()
    """Tables that a flight needs and the sheet does not have yet; what stands in for them is never judged."""
    field: Field | None = None
    """Outline of the field, where the site names one."""
    wind_column: WindColumn | None = None
    air_columns: AirColumns | None = None
    """Air loads of the table that the sheet names."""
    tunnel_runs: tuple[TunnelRun, ...] = ()
    """Runs of the tunnel's study that the sheet names, whatever shape they are of."""
    more_motors: tuple[MotorData, ...] = ()
    """One for each entry of ``motor.more``, the first motor where it names no other."""

    @property
    def every_motor(self) -> tuple[MotorData, ...]:
        """Data of the first motor and of all further ones, in their order."""
        return (self.motor, *self.more_motors)

    def mesh_path(self, part: PartEntry) -> Path | None:
        """Path of a part's mesh file; ``None`` for a part drawn from tiers."""
        return self.folder / part.mesh if part.mesh else None


def read_sheet(path: Path) -> LoadedSheet:
    """Read a build sheet and the motor, thrust curve and site files it names.

    Raises
    ------
    BuildSheetError
        With every fault found in any of them, each with its file and line.
    """
    return sheet_from(read_toml(path))


def sheet_from(source: TomlSource) -> LoadedSheet:
    """Read a build sheet from its text, and the files it names from its folder.

    Raises
    ------
    BuildSheetError
        With every fault found in any of them, each with its file and line.
    """
    path, folder = source.path, source.path.parent
    source, missing = with_stand_ins(source)
    source, faults = with_part_stations(source, folder, Sheet, MESH_SUFFIXES)
    sheet = None
    try:
        sheet = Sheet.model_validate(source.values)
    except ValidationError as error:
        faults += faults_from(error, source, Sheet)
    faults += faults_between_fields(source)
    faults += faults_of_sizes(source)
    faults += _mesh_path_faults(folder, source)
    motor, site, field = NO_MOTOR, NO_SITE, None
    if "motor" not in missing:
        motor = _named_file(folder, source, ("motor", "data"), lambda file: read_motor(file, folder), faults)
    if "launch" not in missing:
        site = _named_file(folder, source, ("launch", "site"), read_site, faults)
        field = _named_file(
            folder,
            source,
            ("launch", "site"),
            lambda file: read_site_field(file, folder),
            [] if site is None else faults,
        )
    more = _more_motors(folder, source, motor, faults)
    column = _named_file(folder, source, ("launch", "wind_column"), read_wind_column, faults, CURVE_SUFFIXES)
    air = _named_file(folder, source, ("air", "table"), read_air_columns, faults, CURVE_SUFFIXES)
    runs = _named_file(folder, source, ("air", "study"), read_tunnel_runs, faults, RUNS_SUFFIXES)
    if sheet and site:
        faults += _low_ceiling(source, sheet, site)
    if sheet:
        faults += _calm_column(source, sheet)
    if faults or sheet is None or motor is None or site is None:
        raise BuildSheetError(_once_each(faults))
    return LoadedSheet(
        sheet=sheet,
        source=source,
        missing=missing,
        motor=motor,
        site=site,
        path=path,
        folder=folder,
        field=field,
        wind_column=column,
        air_columns=air,
        tunnel_runs=runs or (),
        more_motors=more,
    )


def missing_faults(files: LoadedSheet) -> list[Fault]:
    """Name the tables that a flight needs and the sheet does not have, with the keys of each."""
    kinds = table_of(Sheet)
    keys = [key for key in kinds.keys if key.name in files.missing]
    return [
        files.source.fault(
            (key.name,),
            given="nothing",
            accepted=accepted_words(key.value),
            likely_slip=f"[{key.name}] is still to be written",
        )
        for key in keys
    ]


def _more_motors(
    folder: Path, source: TomlSource, first: MotorData | None, faults: list[Fault]
) -> tuple[MotorData, ...]:
    """Motors of a cluster, each as its own file says or as the first."""
    found = [first] * len(tables(source, ("motor", "more")))
    for number, (where, entry) in enumerate(tables(source, ("motor", "more"))):
        if isinstance(entry.get("data"), str):
            try:
                file = file_inside(folder, source, (*where, "data"), (".toml",))
                found[number] = read_motor(file, folder)
            except BuildSheetError as error:
                faults += error.faults
    return tuple(motor for motor in found if motor is not None)


def _low_ceiling(source: TomlSource, sheet: Sheet, site: Site) -> Iterator[Fault]:
    ceiling, rail = site.ceiling_agl, sheet.launch.rail_length
    if ceiling and ceiling.value <= rail.value:
        yield source.fault(
            ("launch", "site"),
            given=f"a ceiling of {ceiling.text} over a rail of {rail.text}",
            accepted="a ceiling above the rail",
            likely_slip="the ceiling is counted from the ground; was it written in thousands of feet?",
        )


def _calm_column(source: TomlSource, sheet: Sheet) -> Iterator[Fault]:
    """Refuse a wind of nothing beside a column: the wind at 10 m makes the column stronger or weaker."""
    launch = sheet.launch
    if launch.wind_column and launch.wind.value == 0.0:
        yield source.fault(
            ("launch", "wind"),
            given=f"{launch.wind.text} beside a wind column",
            accepted="the column's own wind at 10 m",
        )


def _mesh_path_faults(folder: Path, source: TomlSource) -> Iterator[Fault]:
    for where, part in tables(source, ("part",)):
        if isinstance(part.get("mesh"), str):
            try:
                file_inside(folder, source, (*where, "mesh"), MESH_SUFFIXES)
            except BuildSheetError as error:
                yield from error.faults


def _named_file(
    folder: Path,
    source: TomlSource,
    where: tuple[str, str],
    read: Callable[[Path], Answer],
    faults: list[Fault],
    suffixes: tuple[str, ...] = (".toml",),
) -> Answer | None:
    """Read the file a field names; its faults join the others, a field of another type is known already."""
    section: Any = source.values.get(where[0])
    if not is_table(section) or not isinstance(section.get(where[1]), str):
        return None
    try:
        return read(file_inside(folder, source, where, suffixes))
    except BuildSheetError as error:
        faults += error.faults
        return None


def _once_each(faults: list[Fault]) -> list[Fault]:
    """Sort by file and line, the sheet's own file first, and drop repetitions of one place."""
    order = {file: index for index, file in enumerate(dict.fromkeys(fault.file for fault in faults))}
    by_place = {(fault.file, fault.field, fault.line): fault for fault in reversed(faults)}
    return sorted(by_place.values(), key=lambda fault: (order[fault.file], fault.line or 0))
