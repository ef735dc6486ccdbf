"""Charges in time: each alone, both together, at other heights, against wall and joint."""

import math
from collections.abc import Sequence
from dataclasses import replace

from finial.assemble.canopies import (
    Moments,
    bay_lag,
    free_volume,
    joint_friction,
    named,
    pressure_out,
    split_masses,
)
from finial.assemble.day import day_at_pad
from finial.assemble.loading import Vehicle
from finial.assemble.recovery_records import BurstStudy, Shot
from finial.assemble.results import MassResult
from finial.atmosphere.day import air_over_pad
from finial.core.estimates import Estimate, KnownBy, exact
from finial.files.sheet_recovery import Bay, PowderCharge
from finial.materials.material import material
from finial.recovery.burst import BURN_TIME_S, HEAT_TO_WALLS_W_M2_K, Burst, burst
from finial.recovery.charges import FORCE_CAP_N, LEAST_AMBIENT_PA, bay_pressure
from finial.recovery.ground_testing import GroundTest, tested_share
from finial.recovery.pins import pins_hold
from finial.structure.bay_walls import BayWall, bay_wall_reserve

STROKE_DIAMETERS = (0.4, 0.7, 1.0)
"""How far a joint still seals, in bay diameters, where the sheet has no shoulder; common practice."""
TRIAL_PA = 1e5
HEIGHTS_M = (0.0, 1000.0, 2000.0, 4000.0, 6000.0)


def burst_study(vehicle: Vehicle, bay: Bay, mass: MassResult, moments: Moments) -> BurstStudy | None:
    """Study every charge of a bay; ``None`` if none has its powder in the sheet."""
    charges = [one for one in vehicle.sheet.recovery.charge if one.bay == bay.name and one.powder]
    if not charges:
        return None
    ends = _ends(vehicle, bay, mass, moments)
    share, told = _tested(charges, ends)
    shots = tuple(_shots(charges, ends, share))
    area = math.pi / 4 * bay.diameter.value**2
    first = charges[0]
    assert first.powder is not None
    return BurstStudy(
        bay=bay.name,
        shots=shots,
        wall_holds_pa=_wall(bay),
        joint_cap_n=FORCE_CAP_N,
        joint_peak_n=area * max(shot.peak.high for shot in shots),
        by_height=tuple(_at_height(vehicle, ends[1], first.powder.value, height) for height in HEIGHTS_M),
        loose_powder_ends_m=_height_of(vehicle, LEAST_AMBIENT_PA),
        tested=told,
        plan=_plan(charges),
    )


def _ends(vehicle: Vehicle, bay: Bay, mass: MassResult, moments: Moments) -> tuple[Burst, Burst, Burst]:
    """Weak, central and strong case of a bay: every doubt at the end that hurts, or helps, the charge."""
    sheet = vehicle.sheet
    joint = named(sheet.recovery.joint, bay.joint)
    volume, friction = free_volume(sheet, bay), joint_friction(joint)
    pins = pins_hold(joint.pins.screw, joint.pins.count) if joint.pins else None
    fore, aft = split_masses(mass, joint.station.value, burnt=True)
    diameter = bay.diameter.value
    length = bay.stations[1].value - bay.stations[0].value
    weak_stroke, stroke, strong_stroke = (
        (joint.shoulder.value,) * 3
        if joint.shoulder
        else tuple(share * diameter for share in STROKE_DIAMETERS)
    )
    central = Burst(
        powder_kg=1e-3,
        volume_m3=volume.value,
        diameter_m=diameter,
        stroke_m=stroke,
        moved_kg=fore.value * aft.value / (fore.value + aft.value),
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
        stroke_m=weak_stroke,
        heat_w_m2_k=HEAT_TO_WALLS_W_M2_K.high,
        burn_time_s=BURN_TIME_S.high,
    )
    strong = replace(
        central,
        volume_m3=volume.low,
        friction_n=friction.low,
        pins_n=pins.low if pins else 0.0,
        stroke_m=strong_stroke,
        heat_w_m2_k=HEAT_TO_WALLS_W_M2_K.low,
        burn_time_s=BURN_TIME_S.low,
        trapped_pa=bay_lag(bay, volume, moments) or 0.0,
    )
    return weak, central, strong


def _tested(
    charges: Sequence[PowderCharge], ends: tuple[Burst, Burst, Burst]
) -> tuple[Estimate | None, tuple[str, ...]]:
    """Share of the powder that ground tests found, and what each test changed in words."""
    share, told = None, []
    for charge in charges:
        for test in charge.ground_test:
            grams = 1000 * test.powder.value
            if not test.parted:
                told.append(
                    f"{grams:.2f} g did not open the joint: it holds at least what that charge pushes."
                )
            elif test.speed is None or test.speed.value <= 0:
                told.append(f"{grams:.2f} g opened the joint: it holds at most what that charge pushes.")
            else:
                on_ground = replace(ends[1], ambient_pa=101_325.0)
                shot = GroundTest(powder_kg=test.powder.value, parted=True, speed_m_s=test.speed.value)
                share = tested_share(on_ground, shot)
                percent = f"{100 * share.value:.0f} % ({100 * share.low:.0f} to {100 * share.high:.0f})"
                told.append(
                    f"{grams:.2f} g parted it at {test.speed.text}: the powder does {percent} of what "
                    "the model says, and the numbers above use that."
                )
    return share, tuple(told)


def _shots(charges: Sequence[PowderCharge], ends: tuple[Burst, Burst, Burst], share: Estimate | None):
    """Each charge alone, and all of them in the same instant."""
    for charge in charges:
        assert charge.powder is not None
        yield _shot(charge.name, charge.powder.estimate(KnownBy.WEIGHED), ends, share)
    if len(charges) > 1:
        powders = [charge.powder.estimate(KnownBy.WEIGHED) for charge in charges if charge.powder]
        both = Estimate(
            value=sum(one.value for one in powders),
            low=sum(one.low for one in powders),
            high=sum(one.high for one in powders),
            known_by=KnownBy.WEIGHED,
        )
        yield _shot("all at the same instant", both, ends, share)


def _shot(what: str, powder: Estimate, ends: tuple[Burst, Burst, Burst], share: Estimate | None) -> Shot:
    shares = (share.low, share.value, share.high) if share else (1.0, 1.0, 1.0)
    amounts = (powder.low, powder.value, powder.high)
    if share:
        # The test has measured what heat, burning and leaks cost: only its own scatter is left.
        ends = (ends[1], ends[1], ends[1])
    histories = tuple(
        burst(replace(case, powder_kg=amount * part))
        for case, amount, part in zip(ends, amounts, shares, strict=True)
    )
    peaks = sorted(history.peak_pa for history in histories)
    speeds = sorted(history.end_speed_m_s for history in histories)
    weak, central, strong = histories
    closed = bay_pressure(powder, _volume(ends), ends[1].ambient_pa)
    return Shot(
        what=what,
        powder_kg=powder.value,
        closed_form_pa=closed,
        peak=_told(central.peak_pa, peaks),
        speed=_told(central.end_speed_m_s, speeds),
        opens=weak.parted_s is not None,
        histories=(weak, central, strong),
    )


def _volume(ends: tuple[Burst, Burst, Burst]) -> Estimate:
    volumes = [case.volume_m3 for case in ends]
    return Estimate(value=volumes[1], low=min(volumes), high=max(volumes), known_by=KnownBy.ASSUMED)


def _told(value: float, ordered: Sequence[float]) -> Estimate:
    return Estimate(
        value=value,
        low=min(ordered[0], value),
        high=max(ordered[-1], value),
        known_by=KnownBy.ASSUMED,
        method="charge in time: burning, heat loss, growing bay, vents, friction, pins",
        source=f"powder constants common practice; {BURN_TIME_S.source}",
    )


def _wall(bay: Bay) -> Estimate | None:
    """Pressure at which the bay's wall yields [Pa]: the reserve at a trial pressure is linear in it."""
    if bay.wall is None or bay.material is None:
        return None
    stuff = material(bay.material)
    wall = BayWall(
        station_m=bay.stations[0].value,
        across_m=bay.diameter.value + 2 * bay.wall.value,
        wall_m=bay.wall.value,
        round_tube=bay.round_tube,
        modulus=stuff.modulus_pa,
        strength=stuff.yield_pa,
        poisson=stuff.poisson,
    )
    reserve = bay_wall_reserve(wall, exact(TRIAL_PA)).reserve
    return None if reserve is None else reserve.scaled(TRIAL_PA)


def _at_height(
    vehicle: Vehicle, case: Burst, powder_kg: float, height_m: float
) -> tuple[float, float, float, float]:
    air = float(air_over_pad(day_at_pad(vehicle), height_m).pressure_pa)
    history = burst(replace(case, powder_kg=powder_kg, ambient_pa=air, trapped_pa=0.0))
    return height_m, air, history.peak_pa, history.end_speed_m_s


def _height_of(vehicle: Vehicle, pressure_pa: float) -> float:
    """Height above the pad at which the air has a pressure [m]."""
    day, low, high = day_at_pad(vehicle), 0.0, 15_000.0
    for _ in range(40):
        middle = (low + high) / 2
        if float(air_over_pad(day, middle).pressure_pa) > pressure_pa:
            low = middle
        else:
            high = middle
    return low


def _plan(charges: Sequence[PowderCharge]) -> tuple[tuple[str, float], ...]:
    """Shots to make: the first charge twice, then less to see the margin, then each backup."""
    first = charges[0].powder
    assert first is not None
    plan = [
        (f"{charges[0].name} as flown", first.value),
        (f"{charges[0].name} as flown, again", first.value),
        ("four fifths of it, to see what is to spare", 0.8 * first.value),
    ]
    return (*plan, *((f"{one.name} as flown", one.powder.value) for one in charges[1:] if one.powder))
