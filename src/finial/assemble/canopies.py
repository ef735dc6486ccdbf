"""Recovery, first form: canopies, charges, pins and cords of the sheet, at this flight's events."""

from dataclasses import dataclass
from itertools import pairwise

from finial.assemble.results import (
    CanopyResult,
    ChargeResult,
    CordResult,
    LandingRow,
    MassResult,
    RecoveryResult,
)
from finial.core.constants import (
    GAS_CONSTANT_AIR_J_KG_K,
    STANDARD_PRESSURE_PA,
    STANDARD_TEMPERATURE_K,
)
from finial.core.estimates import Estimate, KnownBy, exact, spread, total
from finial.files.sheet import Sheet
from finial.files.sheet_recovery import Bay, Canopy, Joint, PowderCharge
from finial.files.sheet_recovery import Cord as SheetCord
from finial.recovery.canopies import CanopyKind, canopy_drag_area, canopy_kind, nominal_diameter
from finial.recovery.charges import (
    bay_pressure,
    force_on_joint,
    free_bay_volume,
    needed_powder,
    needed_pressure,
)
from finial.recovery.cords import Cord, Separation, cord_named, cord_peak_load, cord_strength
from finial.recovery.descent import descent_speed, ground_speed, landing_energy
from finial.recovery.drop_testing import drop_test_drag_area
from finial.recovery.ground_testing import resistance_seen
from finial.recovery.opening import Opening, opening_load
from finial.recovery.parting import Blast, parting_speed
from finial.recovery.pins import Half, drag_separation_force, inertia_force, pins_hold, trapped_pressure
from finial.recovery.ports import Climb, port_lag
from finial.recovery.reefing import reefed

LOOSE_FRICTION_N = 30.0
"""Friction of a joint that the sheet says nothing of, give or take all of it; common practice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Moments:
    """What the flight tells the recovery: air and speeds where things happen."""

    ground_density_kg_m3: Estimate
    ground_pressure_pa: float
    out_density_kg_m3: dict[str, Estimate]
    """Air density where each canopy comes out, by canopy name."""
    out_pressure_pa: dict[str, float]
    out_speed_m_s: dict[str, Estimate]
    """Airspeed when each canopy comes out, from the flight and the slack in its timing."""
    burnout_drag_n: Estimate
    """Drag of the whole vehicle just after burnout."""
    fore_drag_share: dict[str, float]
    """Share of that drag ahead of each joint, by joint name."""
    top_climb_m_s: float
    top_pressure_pa: float
    ground_temperature_k: float
    wind_m_s: Estimate
    """Wind at 10 m, about where the canopy hangs when the vehicle touches down [m/s]."""
    out_time_s: dict[str, float]
    """When each canopy comes out; infinite if it never does."""


def recovery_result(sheet: Sheet, mass: MassResult, moments: Moments) -> RecoveryResult:
    """Answer for every canopy, charge and cord in the sheet."""
    burnout_kg = _descending_mass(mass)
    canopies = tuple(_canopy(canopy, burnout_kg, moments) for canopy in sheet.recovery.canopy)
    landing = min((canopy.descent_speed for canopy in canopies), key=lambda speed: speed.value, default=None)
    return RecoveryResult(
        canopies=canopies,
        charges=tuple(_charge(sheet, charge, mass, moments, canopies) for charge in sheet.recovery.charge),
        cords=tuple(_cord(sheet, cord, mass, moments) for cord in sheet.recovery.cord),
        landing_speed=landing,
        landing_energy=landing_energy(burnout_kg, landing) if landing else None,
        descent_mass_kg=burnout_kg.value,
        ground_speed=ground_speed(landing, moments.wind_m_s) if landing else None,
        landings=_landings(sheet, mass, burnout_kg, landing, moments),
    )


def drag_area(canopy: Canopy) -> Estimate:
    """Drag area of a canopy of the sheet [m^2]: dropped, the maker's, or from its kind and size."""
    if canopy.drop_test:
        test = canopy.drop_test
        temperature_k = test.temperature.value if test.temperature else STANDARD_TEMPERATURE_K
        pressure_pa = test.pressure.value if test.pressure else STANDARD_PRESSURE_PA
        known = KnownBy.MEASURED
        return drop_test_drag_area(
            test.mass.estimate(known),
            test.speed.estimate(known),
            exact(pressure_pa / (GAS_CONSTANT_AIR_J_KG_K * temperature_k), known_by=known),
        )
    if canopy.drag_area:
        return canopy.drag_area.estimate(KnownBy.HANDBOOK, method="the maker's drag area")
    given = canopy.drag_coefficient
    return canopy_drag_area(
        canopy_kind(canopy.kind),
        canopy.diameter.estimate(KnownBy.MEASURED),
        canopy.diameter_measures,
        given.estimate(KnownBy.HANDBOOK) if given else None,
    )


def reefed_kind(canopy: Canopy) -> CanopyKind:
    """Kind of a canopy of the sheet, its filling slowed by what reefs it."""
    return reefed(canopy_kind(canopy.kind), canopy.reefing)


def nominal(canopy: Canopy) -> Estimate:
    """Nominal diameter of a canopy of the sheet [m]."""
    diameter = canopy.diameter.estimate(KnownBy.MEASURED)
    return nominal_diameter(canopy_kind(canopy.kind), diameter, canopy.diameter_measures)


def _landings(
    sheet: Sheet, mass: MassResult, whole_kg: Estimate, fall: Estimate | None, moments: Moments
) -> tuple[LandingRow, ...]:
    """Energy of the whole and of the heaviest piece that comes down on one cord."""
    if fall is None:
        return ()
    over_ground = ground_speed(fall, moments.wind_m_s)
    pieces = [("the whole", whole_kg)]
    if sheet.recovery.joint:
        pieces.append(("its heaviest piece", max(_pieces(sheet, mass), key=lambda piece: piece.high)))
    return tuple(
        LandingRow(
            what=what,
            mass_kg=piece.value,
            fall=landing_energy(piece, fall),
            with_wind=landing_energy(piece, over_ground),
        )
        for what, piece in pieces
    )


def _pieces(sheet: Sheet, mass: MassResult) -> list[Estimate]:
    """Masses between the joints [kg], propellant gone."""
    stations = sorted(joint.station.value for joint in sheet.recovery.joint)
    ahead = [split_masses(mass, station, burnt=True)[0] for station in stations]
    pieces = [ahead[0]]
    pieces += [
        Estimate(
            value=aft.value - fore.value,
            low=max(aft.low - fore.low, 0.0),
            high=aft.high - fore.high,
            known_by=max(aft.known_by, fore.known_by),
        )
        for fore, aft in pairwise(ahead)
    ]
    return [*pieces, split_masses(mass, stations[-1], burnt=True)[1]]


def _descending_mass(mass: MassResult) -> Estimate:
    burnt = mass.lift_off.mass_kg - mass.burnout.mass_kg
    lift_off = mass.lift_off_mass
    return total([lift_off, exact(-burnt)], method="lift-off mass less propellant")


def _canopy(canopy: Canopy, mass_kg: Estimate, moments: Moments) -> CanopyResult:
    area = drag_area(canopy)
    opening = Opening(
        kind=reefed_kind(canopy),
        nominal_diameter_m=nominal(canopy),
        drag_area_m2=area,
        mass_kg=mass_kg,
        speed_m_s=moments.out_speed_m_s[canopy.name],
        density_kg_m3=moments.out_density_kg_m3[canopy.name],
    )
    return CanopyResult(
        name=canopy.name,
        drag_area=area,
        descent_speed=descent_speed(mass_kg, area, moments.ground_density_kg_m3),
        opening_speed_m_s=opening.speed_m_s.value,
        opening_load=opening_load(opening),
    )


def _charge(
    sheet: Sheet,
    charge: PowderCharge,
    mass: MassResult,
    moments: Moments,
    canopies: tuple[CanopyResult, ...],
) -> ChargeResult:
    bay = named(sheet.recovery.bay, charge.bay)
    joint = named(sheet.recovery.joint, bay.joint)
    diameter = bay.diameter.estimate(KnownBy.MEASURED)
    holding = pins_hold(joint.pins.screw, joint.pins.count) if joint.pins else None
    volume = free_volume(sheet, bay)
    ambient = pressure_out(bay, sheet, moments)
    powder = charge.powder.estimate(KnownBy.WEIGHED) if charge.powder else None
    pressure = bay_pressure(powder, volume, ambient) if powder else None
    resistance = joint_resistance(sheet, bay, volume)
    return ChargeResult(
        name=charge.name,
        bay=bay.name,
        powder=powder,
        needed_powder=needed_powder(needed_pressure(resistance, diameter), volume),
        pressure=pressure,
        force_on_joint=force_on_joint(pressure, diameter) if pressure else None,
        pins_hold=holding,
        resistance=resistance,
        early_load=_early_load(sheet, bay, mass, moments, canopies),
        backup_of=charge.backup_of or "",
    )


def joint_resistance(sheet: Sheet, bay: Bay, volume: Estimate) -> Estimate:
    """Add pins and friction, what a charge must overcome [N]; ground tests narrow it."""
    joint = named(sheet.recovery.joint, bay.joint)
    pins = [pins_hold(joint.pins.screw, joint.pins.count)] if joint.pins else []
    found = total([joint_friction(joint), *pins], method="pins and friction of the joint")
    diameter = bay.diameter.estimate(KnownBy.MEASURED)
    for charge in sheet.recovery.charge:
        for test in charge.ground_test if charge.bay == bay.name else ():
            fired = bay_pressure(test.powder.estimate(KnownBy.WEIGHED), volume, STANDARD_PRESSURE_PA)
            found = resistance_seen(found, force_on_joint(fired, diameter), parted=test.parted)
    return found


def free_volume(sheet: Sheet, bay: Bay) -> Estimate:
    """Free volume of a bay [m^3]: the sheet's, or its size less what is packed in it."""
    if bay.free_volume:
        return bay.free_volume.estimate(KnownBy.MEASURED)
    length = bay.stations[1].value - bay.stations[0].value
    packed = sum(canopy.mass.value for canopy in sheet.recovery.canopy if canopy.bay == bay.name)
    return free_bay_volume(bay.diameter.estimate(KnownBy.MEASURED), exact(length), exact(packed))


def joint_friction(joint: Joint) -> Estimate:
    """Friction of a joint [N]: the sheet's, or a usual one with all its doubt."""
    if joint.friction:
        return joint.friction.estimate(KnownBy.MEASURED)
    return spread(LOOSE_FRICTION_N, 1.0, known_by=KnownBy.ASSUMED, method="friction of a joint not given")


def pressure_out(bay: Bay, sheet: Sheet, moments: Moments) -> float:
    """Air pressure where a bay opens [Pa]."""
    names = [canopy.name for canopy in sheet.recovery.canopy if canopy.bay == bay.name]
    return min((moments.out_pressure_pa[name] for name in names), default=moments.ground_pressure_pa)


def _early_load(
    sheet: Sheet, bay: Bay, mass: MassResult, moments: Moments, canopies: tuple[CanopyResult, ...]
) -> Estimate:
    """Largest pull at the joint before its charge, with the air trapped on the way up."""
    pulls = early_pulls(sheet, bay, mass, moments, canopies)
    worst = max(pulls[:-1], key=lambda pull: pull[1].high)
    return total([worst[1], pulls[-1][1]], method=f"{worst[0]} and trapped air")


def early_pulls(
    sheet: Sheet, bay: Bay, mass: MassResult, moments: Moments, canopies: tuple[CanopyResult, ...]
) -> list[tuple[str, Estimate]]:
    """Everything that tries to part a bay's joint before its charge [N]; trapped air stands last."""
    joint = named(sheet.recovery.joint, bay.joint)
    fore, aft = split_masses(mass, joint.station.value, burnt=True)
    share = moments.fore_drag_share[joint.name]
    drag = drag_separation_force(
        Half(mass_kg=fore, drag_n=moments.burnout_drag_n.scaled(share)),
        Half(mass_kg=aft, drag_n=moments.burnout_drag_n.scaled(1.0 - share)),
    )
    pulls = [("drag and inertia at burnout", drag.mapped(lambda force: max(force, 0.0)))]
    own = [canopy.name for canopy in sheet.recovery.canopy if canopy.bay == bay.name]
    opens_at = min((moments.out_time_s[name] for name in own), default=0.0)
    whole = total([fore, aft])
    for canopy in canopies:
        if canopy.name not in own and moments.out_time_s[canopy.name] < opens_at:
            slowed = canopy.opening_load.scaled(1 / whole.value)
            lighter = min(fore, aft, key=lambda half: half.value)
            pulls.append((f"opening of {canopy.name}", inertia_force(lighter, slowed)))
    trapped = trapped_pressure(
        moments.ground_pressure_pa, moments.top_pressure_pa, bay_lag(bay, free_volume(sheet, bay), moments)
    )
    return [*pulls, ("trapped air", force_on_joint(trapped, bay.diameter.estimate(KnownBy.MEASURED)))]


def bay_lag(bay: Bay, volume: Estimate, moments: Moments) -> float | None:
    """Pressure the bay lags behind the air outside [Pa]; ``None`` for a bay without a vent."""
    if not bay.vent_area or bay.vent_area.value <= 0:
        return None
    climb = Climb(
        volume_m3=volume.value,
        port_area_m2=bay.vent_area.value,
        climb_m_s=moments.top_climb_m_s,
        density_kg_m3=moments.ground_density_kg_m3.value,
        temperature_k=moments.ground_temperature_k,
    )
    return port_lag(climb)


def split_masses(mass: MassResult, station_m: float, *, burnt: bool) -> tuple[Estimate, Estimate]:
    """Mass ahead of and behind a station [kg], each row spread over its own span."""
    ahead = [(row, row.share_ahead(station_m)) for row in mass.rows]
    fore = total(row.mass.scaled(share) for row, share in ahead)
    aft = total(row.mass.scaled(1.0 - share) for row, share in ahead)
    if not burnt:
        return fore, aft
    propellant = mass.lift_off.mass_kg - mass.burnout.mass_kg
    return fore, total([aft, exact(-propellant)])


def sheet_cord(cord: SheetCord) -> Cord:
    """Row of the cord table with the sheet's own numbers laid over it."""
    if cord.breaking_load and cord.stretch_at_break:
        return Cord(
            name=cord.name,
            breaking_load_n=cord.breaking_load.estimate(KnownBy.HANDBOOK),
            stretch_at_break=cord.stretch_at_break.estimate(KnownBy.HANDBOOK),
            mass_kg_per_m=cord.mass_per_length.value if cord.mass_per_length else None,
            source="the build sheet",
            width_m=cord.width.value if cord.width else None,
        )
    known = cord_named(cord.material)
    load, stretch = cord.breaking_load, cord.stretch_at_break
    return Cord(
        name=cord.name,
        breaking_load_n=load.estimate(KnownBy.HANDBOOK) if load else known.breaking_load_n,
        stretch_at_break=stretch.estimate(KnownBy.HANDBOOK) if stretch else known.stretch_at_break,
        mass_kg_per_m=cord.mass_per_length.value if cord.mass_per_length else known.mass_kg_per_m,
        source=known.source,
        width_m=cord.width.value if cord.width else known.width_m,
        rebound=known.rebound,
    )


def _cord(sheet: Sheet, cord: SheetCord, mass: MassResult, moments: Moments) -> CordResult:
    station = named(sheet.recovery.joint, cord.joint).station.value
    fore, aft = split_masses(mass, station, burnt=True)
    line = sheet_cord(cord)
    separation = Separation(
        fore_mass_kg=fore,
        aft_mass_kg=aft,
        speed_m_s=_fastest_parting(sheet, cord.joint, fore, aft, moments),
        length_m=cord.length.estimate(KnownBy.MEASURED),
    )
    return CordResult(name=cord.name, peak_load=cord_peak_load(separation, line), strength=strength_of(cord))


def strength_of(cord: SheetCord) -> Estimate:
    """Load that breaks a cord of the sheet at its worst knot [N]."""
    return cord_strength(sheet_cord(cord).breaking_load_n, cord.knot_keeps.estimate(KnownBy.HANDBOOK))


def _fastest_parting(sheet: Sheet, joint: str, fore: Estimate, aft: Estimate, moments: Moments) -> Estimate:
    """Speed the halves part at under the largest charge of the joint [m/s]."""
    bays = {bay.name: bay for bay in sheet.recovery.bay if bay.joint == joint}
    speeds = []
    for charge in sheet.recovery.charge:
        if charge.bay not in bays or charge.powder is None:
            continue
        bay = bays[charge.bay]
        ambient = pressure_out(bay, sheet, moments)
        volume = free_volume(sheet, bay)
        pressure = bay_pressure(charge.powder.estimate(KnownBy.WEIGHED), volume, ambient)
        blast = Blast(
            pressure_pa=pressure,
            volume_m3=volume,
            diameter_m=bay.diameter.value,
            ambient_pa=ambient,
            fore_mass_kg=fore,
            aft_mass_kg=aft,
        )
        speeds.append(parting_speed(blast))
    usual = Estimate(
        value=12.0,
        low=6.0,
        high=18.0,
        known_by=KnownBy.ASSUMED,
        method="parting speed without a charge entered",
    )
    return max(speeds, key=lambda speed: speed.high, default=usual)


def named(records, name: str):
    """First record of that name; the sheet's reader has made sure that there is one."""
    return next(record for record in records if record.name == name)
