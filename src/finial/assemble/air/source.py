"""Where air loads come from: the sections of the skin, a table, or a study of the tunnel."""

from dataclasses import dataclass, replace
from typing import Protocol

from finial.aero.band.band import band_with
from finial.aero.given import GivenAir, given_parts, table_with
from finial.assemble.air.flown import with_flown_centre, with_flown_drag
from finial.assemble.air.own import own_beside
from finial.assemble.air.results import StudyState, TunnelBeside
from finial.assemble.air.sections import AirLoads, section_loads, with_loads
from finial.assemble.air.tunnel_shape import shape_hash, shape_repeats
from finial.assemble.air.tunnel_table import body_load_of, swing_of, table_of, tunnel_beside
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.core.estimates import KnownBy
from finial.files.tunnel_runs import TunnelRun


class AirSource(Protocol):
    """Anything that gives a vehicle its air loads: what a flow solver would return goes in here."""

    def loads(self, vehicle: LoadedVehicle, balance_m: float, across_m: tuple[float, float]) -> AirLoads:
        """Air loads of the vehicle, balanced at a station and off the axis."""
        ...


@dataclass(frozen=True, slots=True, kw_only=True)
class Sections:
    """Loads built from the sections and the fins."""

    def loads(self, vehicle: LoadedVehicle, balance_m: float, across_m: tuple[float, float]) -> AirLoads:
        """Band, drag and table from the sections."""
        return section_loads(vehicle, balance_m, across_m)


@dataclass(frozen=True, slots=True, kw_only=True)
class GivenTable:
    """Loads of the whole vehicle from elsewhere; what they do not hold comes from the sections."""

    given: GivenAir
    name: str
    """Where they come from, as the report names it."""

    def loads(self, vehicle: LoadedVehicle, balance_m: float, across_m: tuple[float, float]) -> AirLoads:
        """Force, its place and axial force from the table; damping and the bare body from the sections."""
        own = section_loads(vehicle, balance_m, across_m)
        return _with_own("air", _with_table(own, self.given, self.name, balance_m), own)


@dataclass(frozen=True, slots=True, kw_only=True)
class TunnelStudy:
    """Loads that the tunnel read of this very shape; of any other those without it stay, and that is told."""

    runs: tuple[TunnelRun, ...]
    name: str
    without: "Sections | GivenTable"

    def loads(self, vehicle: LoadedVehicle, balance_m: float, across_m: tuple[float, float]) -> AirLoads:
        """Force, its place and axial force from the study; damping and the bare body from the sections."""
        own, width = section_loads(vehicle, balance_m, across_m), vehicle.skin.width_m
        shape = shape_hash(vehicle)
        beside = tunnel_beside(self.runs, own, shape, own.result.drag_reynolds_per_m * width)
        given = table_of(beside, own, shape_repeats(vehicle))
        if given is not None:
            along = None if beside.finned else body_load_of(self.runs, shape, vehicle.skin.length_m)
            flown = _beside(_with_table(own, given, self.name, balance_m), beside)
            return replace(flown, along=along, swing=swing_of(self.runs, shape))
        known = beside.state is StudyState.OTHER_SHAPE
        state = beside.state if known else StudyState.TOO_FEW
        return _beside(self.without.loads(vehicle, balance_m, across_m), replace(beside, state=state))


def _beside(loads: AirLoads, beside: TunnelBeside) -> AirLoads:
    return replace(loads, result=replace(loads.result, tunnel=beside))


def _with_table(own: AirLoads, given: GivenAir, name: str, balance_m: float) -> AirLoads:
    parts = given_parts(given, own.band.angles_rad, own.band.rolls_rad, own.result.table.reference_area_m2)
    return with_loads(
        own,
        band=band_with(own.band, parts, balance_m, name),
        table=table_with(own.result.table, given),
        balance_m=balance_m,
        source=name,
    )


def air_source(vehicle: LoadedVehicle) -> AirSource:
    """Source that the sheet asks for: its study of the tunnel, its table, or the sections."""
    entry = vehicle.sheet.air
    without = _table(vehicle) or Sections()
    if entry is None or entry.study is None:
        return without
    return TunnelStudy(runs=vehicle.files.tunnel_runs, name=entry.source or entry.study, without=without)


def _table(vehicle: LoadedVehicle) -> GivenTable | None:
    entry, columns = vehicle.sheet.air, vehicle.files.air_columns
    if entry is None or entry.area is None or entry.table is None or columns is None:
        return None
    given = GivenAir(
        reference_area_m2=entry.area.value,
        angles_rad=columns.angles_rad,
        rolls_rad=columns.rolls_rad,
        machs=columns.machs,
        force=columns.force,
        place_m=columns.place_m,
        axial=columns.axial,
    )
    return GivenTable(given=given, name=entry.source or entry.table)


def air_loads(
    vehicle: LoadedVehicle, balance_m: float, across_m: tuple[float, float] = (0.0, 0.0)
) -> AirLoads:
    """Air loads of a vehicle from the source that its sheet asks for.

    Damping and trim are about the balance point at lift-off: its station, and its place across.
    """
    loads = air_source(vehicle).loads(vehicle, balance_m, across_m)
    flown = vehicle.sheet.flown
    if flown is None:
        return loads
    computed = loads
    if flown.drag is not None:
        loads = with_flown_drag(loads, flown.drag.estimate(KnownBy.MEASURED))
    if flown.pressure_centre is not None:
        loads = with_flown_centre(loads, flown.pressure_centre.estimate(KnownBy.MEASURED), balance_m)
    return _with_own("flown", loads, computed)


def _with_own(table: str, loads: AirLoads, computed: AirLoads) -> AirLoads:
    own = own_beside(table, loads.result, computed.result)
    return replace(loads, result=replace(loads.result, own=(*loads.result.own, own)))
