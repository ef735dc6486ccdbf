"""Charges in time: each alone, both together, at other heights, against wall and joint."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

from finial.assemble.day import day_at_pad
from finial.assemble.recovery.charges import bay_lag, free_volume, joint_friction, pressure_out
from finial.assemble.recovery.inputs import EventStates, named
from finial.assemble.recovery.pins import joint_pins
from finial.assemble.recovery.records import (
    BurstStudy,
    PlannedShot,
    Shot,
    ShotPurpose,
    ShotSaid,
    ShotTold,
)
from finial.assemble.vehicle.bay_walls import sheet_bay_wall
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.atmosphere.day import air_over_pad
from finial.core.constants import STANDARD_PRESSURE_PA
from finial.core.estimates import Estimate, KnownBy, exact, total
from finial.files.sheet import Sheet
from finial.files.sheet_recovery import BayEntry, GroundTestEntry, PowderChargeEntry
from finial.recovery.charges.burst import BURN_TIME_S, HEAT_TO_WALLS_W_M2_K, Burst, BurstHistory, burst
from finial.recovery.charges.ground_testing import GroundTest, powder_share_seen
from finial.recovery.charges.powder import FORCE_CAP_N, LEAST_AMBIENT_PA, bay_pressure
from finial.structure.walls.bay_walls import bay_wall_reserve

STROKE_DIAMETERS = (0.25, 0.5, 1.0)
"""How far a joint still seals, in bay diameters, where the sheet has no shoulder; common practice."""
TRIAL_PA = 1e5
LESS_SHARE = 0.8
"""Powder of the shot that shows what is to spare, over the flight's [-]; common practice."""
HEIGHTS_M = (0.0, 1000.0, 2000.0, 4000.0, 6000.0)


def burst_study(vehicle: LoadedVehicle, bay: BayEntry, moments: EventStates) -> BurstStudy | None:
    """Study every charge of a bay; ``None`` if none has its powder in the sheet."""
    charges = [one for one in vehicle.sheet.recovery.charge if one.bay == bay.name and one.powder]
    if not charges:
        return None
    ends = _ends(vehicle, bay, moments)
    joint = named(vehicle.sheet.recovery.joint, bay.joint)
    strokes = (
        (joint.shoulder.value,)
        if joint.shoulder
        else tuple(share * bay.diameter.value for share in STROKE_DIAMETERS)
    )
    share, told = _tested(charges, ends)
    shots = tuple(_shots(charges, ends, (share, strokes)))
    area = math.pi / 4 * bay.diameter.value**2
    first = charges[0]
    assert first.powder is not None
    return BurstStudy(
        bay=bay.name,
        shots=shots,
        wall_holds_pa=_wall(vehicle.sheet, bay),
        joint_cap_n=FORCE_CAP_N,
        joint_peak_n=area * max(shot.peak.high for shot in shots),
        by_height=tuple(_at_height(vehicle, ends[1], first.powder.value, height) for height in HEIGHTS_M),
        loose_powder_ends_m=_height_of(vehicle, LEAST_AMBIENT_PA),
        tested=told,
        plan=planned_shots(charges),
    )


def _ends(vehicle: LoadedVehicle, bay: BayEntry, moments: EventStates) -> tuple[Burst, Burst, Burst]:
    """Weak, central and strong case of a bay: every doubt at the end that hurts, or helps, the charge."""
    sheet = vehicle.sheet
    joint = named(sheet.recovery.joint, bay.joint)
    volume, friction = free_volume(sheet, bay), joint_friction(joint)
    pins = joint_pins(sheet, joint)
    diameter = bay.diameter.value
    length = bay.stations[1].value - bay.stations[0].value
    stroke = joint.shoulder.value if joint.shoulder else STROKE_DIAMETERS[1] * diameter
    central = Burst(
        powder_kg=1e-3,
        volume_m3=volume.value,
        diameter_m=diameter,
        stroke_m=stroke,
        moved_kg=moments.apart[joint.name].moved_kg,
        friction_n=friction.value,
        pins_n=pins.value if pins else 0.0,
        vent_area_m2=bay.vent_area.value if bay.vent_area else 0.0,
        wall_area_m2=math.pi * diameter * (length + diameter / 2),
        heat_w_m2_k=HEAT_TO_WALLS_W_M2_K.value,
        burn_time_s=BURN_TIME_S.value,
        ambient_pa=pressure_out(bay, sheet, moments),
        temperature_k=moments.ground_temperature_k,
    )
    weak = replace(
        central,
        volume_m3=volume.high,
        friction_n=friction.high,
        pins_n=pins.high if pins else 0.0,
        heat_w_m2_k=HEAT_TO_WALLS_W_M2_K.high,
        burn_time_s=BURN_TIME_S.high,
    )
    strong = replace(
        central,
        volume_m3=volume.low,
        friction_n=friction.low,
        pins_n=pins.low if pins else 0.0,
        heat_w_m2_k=HEAT_TO_WALLS_W_M2_K.low,
        burn_time_s=BURN_TIME_S.low,
        trapped_pa=bay_lag(bay, volume, moments) or 0.0,
    )
    return weak, central, strong


def _tested(
    charges: Sequence[PowderChargeEntry], ends: tuple[Burst, Burst, Burst]
) -> tuple[Estimate | None, tuple[ShotTold, ...]]:
    """Share of the powder that ground tests found, and what each test changed."""
    told = tuple(_told_by(test, ends[1]) for charge in charges for test in charge.ground_test)
    shares = [one.share for one in told if one.share is not None]
    return (shares[-1] if shares else None), told


def _told_by(test: GroundTestEntry, central: Burst) -> ShotTold:
    powder = test.powder.value
    if not test.parted:
        return ShotTold(said=ShotSaid.HOLDS_AT_LEAST, powder_kg=powder)
    if test.speed is None or test.speed.value <= 0:
        return ShotTold(said=ShotSaid.HOLDS_AT_MOST, powder_kg=powder)
    on_ground = replace(central, ambient_pa=STANDARD_PRESSURE_PA)
    speed = test.speed.value
    shot = GroundTest(powder_kg=powder, parted=True, speed_m_s=speed)
    share = powder_share_seen(on_ground, shot)
    return ShotTold(said=ShotSaid.POWDER_SHARE, powder_kg=powder, speed_m_s=speed, share=share)


_Ends = tuple[Burst, Burst, Burst]
_Doubts = tuple[Estimate | None, tuple[float, ...]]
"""Share of the powder that a test found, and the strokes that the joint may have [m]."""


def _shots(charges: Sequence[PowderChargeEntry], ends: _Ends, doubts: _Doubts) -> Iterator[Shot]:
    """Each charge alone, and all of them in the same instant."""
    powders = [one.powder.estimate(KnownBy.WEIGHED) for one in charges if one.powder]
    for charge, powder in zip(charges, powders, strict=True):
        yield _shot(charge.name, powder, ends, doubts)
    if len(charges) > 1:
        yield _shot("", total(powders), ends, doubts)


def _shot(charge: str, powder: Estimate, ends: _Ends, doubts: _Doubts) -> Shot:
    share, strokes = doubts
    shares = (share.low, share.value, share.high) if share else (1.0, 1.0, 1.0)
    # A test has measured what heat, burning and leaks cost: only its own scatter is left then.
    cases = (ends[1],) * 3 if share else ends
    amounts = (powder.low * shares[0], powder.value * shares[1], powder.high * shares[2])
    weak, central, strong = (
        replace(case, powder_kg=amount) for case, amount in zip(cases, amounts, strict=True)
    )
    weakest = min(_over_strokes(weak, strokes), key=lambda history: history.end_speed_m_s)
    strongest = max(_over_strokes(strong, strokes), key=lambda history: history.end_speed_m_s)
    middle = burst(central)
    histories = (weakest, middle, strongest)
    peaks = [history.peak_pa for history in histories]
    speeds = [history.end_speed_m_s for history in histories]
    return Shot(
        charge=charge,
        powder_kg=powder.value,
        closed_form_pa=bay_pressure(powder, _volume(ends), central.ambient_pa),
        peak=_told(middle.peak_pa, peaks),
        speed=_told(middle.end_speed_m_s, speeds),
        opens=weakest.parted_s is not None,
        histories=histories,
    )


def _over_strokes(case: Burst, strokes_m: tuple[float, ...]) -> list[BurstHistory]:
    return [burst(replace(case, stroke_m=stroke)) for stroke in strokes_m]


def _volume(ends: tuple[Burst, Burst, Burst]) -> Estimate:
    volumes = [case.volume_m3 for case in ends]
    return Estimate(value=volumes[1], low=min(volumes), high=max(volumes), known_by=KnownBy.ASSUMED)


def _told(value: float, found: Sequence[float]) -> Estimate:
    return Estimate(
        value=value,
        low=min(found),
        high=max(found),
        known_by=KnownBy.ASSUMED,
        method="charge in time: burning, heat loss, growing bay, vents, friction, pins",
        source=f"powder constants common practice; {BURN_TIME_S.source}",
    )


def _wall(sheet: Sheet, bay: BayEntry) -> Estimate | None:
    """Pressure at which the bay's wall yields [Pa]: the reserve at a trial pressure is linear in it."""
    wall = sheet_bay_wall(sheet, bay)
    reserve = bay_wall_reserve(wall, exact(TRIAL_PA)).reserve if wall else None
    return reserve.scaled(TRIAL_PA) if reserve else None


def _at_height(
    vehicle: LoadedVehicle, case: Burst, powder_kg: float, height_m: float
) -> tuple[float, float, float, float]:
    air = float(air_over_pad(day_at_pad(vehicle), height_m).pressure_pa)
    history = burst(replace(case, powder_kg=powder_kg, ambient_pa=air, trapped_pa=0.0))
    return height_m, air, history.peak_pa, history.end_speed_m_s


def _height_of(vehicle: LoadedVehicle, pressure_pa: float) -> float:
    """Height above the pad at which the air has a pressure [m]."""
    day, low, high = day_at_pad(vehicle), 0.0, 15_000.0
    for _ in range(40):
        middle = (low + high) / 2
        if float(air_over_pad(day, middle).pressure_pa) > pressure_pa:
            low = middle
        else:
            high = middle
    return low


def planned_shots(charges: Sequence[PowderChargeEntry]) -> tuple[PlannedShot, ...]:
    """Plan the shots of one bay, some of whose charges have their powder entered.

    The first charge twice, then less to see the margin, then each backup.
    """
    first, *others = [(one.name, one.powder.value) for one in charges if one.powder]

    def shot(purpose: ShotPurpose, charge: tuple[str, float], share: float = 1.0) -> PlannedShot:
        return PlannedShot(purpose=purpose, charge=charge[0], powder_kg=share * charge[1])

    return (
        shot(ShotPurpose.AS_FLOWN, first),
        shot(ShotPurpose.AGAIN, first),
        shot(ShotPurpose.LESS, first, LESS_SHARE),
        *(shot(ShotPurpose.AS_FLOWN, one) for one in others),
    )
