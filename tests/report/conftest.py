"""An invented 1.2 m lighthouse, with every number made up: records as a check would hand them on."""

import math
from dataclasses import replace

import numpy as np
import pytest
from report.columns import columns_looked_at
from unsaid import nothing_inside

from finial.aero.band.contribution import Contribution
from finial.aero.drag.sources import DragKind, DragSource, acting_at, acting_between
from finial.aero.table.record import AirTable
from finial.assemble.air.results import AirResult, FinRow
from finial.assemble.electronics.results import (
    ArmingOdds,
    CanopyOdds,
    CutSet,
    Doubling,
    ElectronicsResult,
    PathPower,
    SinglePoint,
)
from finial.assemble.flights.results import FlightResult, LeavingRail, Spinning, Swinging, ThrustLine
from finial.assemble.mass.results import MassResult, MassRow
from finial.assemble.recovery.results import CanopyResult, ChargeResult, CordResult, RecoveryResult
from finial.assemble.stability.results import MomentName, StabilityPoint
from finial.assemble.strength.results import CaseLoads, StrengthResult
from finial.assemble.vehicle.results import ShapeResult
from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate, KnownBy
from finial.electronics.paths import FiringPath
from finial.electronics.rates import PartKind
from finial.electronics.wiring import FailingPart, Moment, Trigger
from finial.findings.finding import Amount, Bound, Finding, Fix, Sense, Subject, Verdict
from finial.findings.guess import Guess, GuessKind
from finial.findings.range_result import RangeResult
from finial.findings.readiness import Depth, Readiness
from finial.flight.trace import EventKind, FlightEvent, Trace
from finial.mass.properties import MassProperties
from finial.range_safety.limits import code_limits
from finial.shape.fin_set import FinSet
from finial.shape.mesh import Mesh
from finial.shape.skin import Section, Skin
from finial.structure.loads.case import Case, Load
from finial.structure.reserves import Because, FailureMode, Reserve

LENGTH_M = 1.2
WIDTH_M = 0.19


def guess(value, low, high, known_by=KnownBy.COMPUTED, method="", source="invented"):
    return Estimate(value=value, low=low, high=high, known_by=known_by, method=method, source=source)


def octagon(across_m):
    corners = math.pi / 8 + math.pi / 4 * np.arange(8)
    return across_m / 2 / math.cos(math.pi / 8) * np.stack([np.cos(corners), np.sin(corners)], axis=1)


def section(station_m, across_m):
    loop = octagon(across_m)
    side = across_m * (math.sqrt(2) - 1)
    return Section(
        station_m=station_m,
        loops=(loop,),
        area_m2=2 * (math.sqrt(2) - 1) * across_m**2,
        perimeter_m=8 * side,
        centroid_m=(0.0, 0.0),
    )


def lighthouse_shape():
    profile = [(0.0, 0.02), (0.09, 0.13), (0.09, 0.11), (0.2, 0.11), (0.2, 0.185), (0.225, 0.185)]
    profile += [(0.225, 0.11), (0.7, 0.135), (1.17, 0.16), (1.17, 0.18), (1.2, 0.18)]
    skin = Skin(
        sections=tuple(section(station, across) for station, across in profile),
        length_m=LENGTH_M,
        volume_m3=0.017,
        wetted_area_m2=0.5,
    )
    fins = FinSet(
        name="fins",
        outline_m=np.array([[0.0, 0.0], [0.12, 0.16], [0.24, 0.16], [0.26, 0.0]]),
        station_m=0.93,
        root_radius_m=0.075,
        count=4,
        first_at_rad=math.radians(22.5),
        thickness_m=0.005,
    )
    corner = np.array([[0.0, 0, 0], [-1.2, 0.1, 0], [-1.2, -0.05, 0.08], [-1.2, -0.05, -0.08]])
    mesh = Mesh(vertices_m=corner, faces=np.array([[0, 1, 2], [0, 2, 3], [0, 3, 1], [1, 3, 2]]))
    return ShapeResult(
        skin=skin,
        display_mesh=mesh,
        fin_faces=np.zeros(4, dtype=bool),
        fins=(fins,),
        across_m=(0.185, 0.185),
        repairs=("tower.stl: welded 12 doubled corners",),
    )


def lighthouse_mass():
    rows = (
        ("tower", "part", guess(1.41, 1.405, 1.415, KnownBy.WEIGHED), 0.75),
        ("steel ballast", "item", guess(0.94, 0.93, 0.95, KnownBy.WEIGHED), 0.12),
        ("fins", "fin", guess(0.62, 0.6, 0.64), 1.06),
        ("paint and filler", "item", guess(0.3, 0.15, 0.45, KnownBy.ASSUMED), 0.7),
        ("demo-k500", "motor", guess(1.6, 1.58, 1.62, KnownBy.HANDBOOK), 1.02),
    )
    body = MassProperties(
        mass_kg=5.29, centre_m=np.array([-0.58, 0.0, 0.0]), inertia_kg_m2=np.diag([0.03, 0.6, 0.6])
    )
    return MassResult(
        rows=tuple(MassRow(name=n, kind=k, mass=m, station_m=s) for n, k, m, s in rows),
        lift_off=body,
        burnout=replace(body, mass_kg=4.4, centre_m=np.array([-0.52, 0.0, 0.0])),
        lift_off_mass=guess(5.29, 5.1, 5.48, KnownBy.ASSUMED, "sum of the mass table"),
        lift_off_balance=guess(0.58, 0.572, 0.589, KnownBy.ASSUMED, "moments of the mass table"),
        burnout_balance=guess(0.52, 0.51, 0.531, KnownBy.ASSUMED, "moments of the mass table"),
    )


def lighthouse_air():
    angles = np.radians([0.0, 5.0, 10.0, 15.0, 20.0, 30.0])
    rolls = np.radians(np.arange(0.0, 361.0, 22.5))
    wave = 0.015 * np.cos(4 * rolls)
    central = 0.80 - 0.06 * np.degrees(angles)[:, None] / 20 + wave
    bare = 0.33 + 0.1 * np.degrees(angles)[:, None] / 20 + 0 * wave
    grid = np.zeros((2, 2, 1))
    table = AirTable(
        reference_area_m2=0.0284,
        width_m=WIDTH_M,
        alpha_rad=np.array([0.0, math.pi]),
        roll_rad=np.array([0.0, 2 * math.pi]),
        mach=np.array([0.0]),
        along=grid + 9.0,
        across=grid,
        along_moment=grid + 38.0,
        across_moment=grid,
        roll_moment=grid,
        axial_power_on=grid + 0.6,
        axial_power_off=grid + 0.7,
        pitch_damping=np.array([-90.0]),
        roll_damping=np.array([-20.0]),
        damping_centre_m=0.6,
    )
    return AirResult(
        table=table,
        angles_rad=angles,
        rolls_rad=rolls,
        pressure_central_m=central,
        pressure_forward_m=central - 0.09,
        pressure_aft_m=central + 0.05,
        bare_central_m=bare,
        bare_forward_m=bare - 0.12,
        bare_aft_m=bare + 0.1,
        contributions=(
            Contribution(name="flow behind the gallery", forward_m=0.06, aft_m=0.03),
            Contribution(name="fin force near the skin", forward_m=0.03, aft_m=0.02),
        ),
        slope_per_rad=guess(9.0, 8.1, 9.9, method="slices and fins", source="Munk, NACA R-184"),
        bare_slope_per_rad=guess(3.1, 2.4, 3.5, method="slices", source="Munk, NACA R-184"),
        load_stations_m=np.linspace(0, LENGTH_M, 25),
        load_per_m=np.sin(np.linspace(0, math.pi, 25)),
        drag_rows=(
            DragSource(
                kind=DragKind.FRONT,
                station_m=0.25,
                acts=acting_at(0.25),
                coefficient=guess(0.45, 0.3, 0.6, method="blunt faces", source="Hoerner 1965"),
            ),
            DragSource(
                kind=DragKind.SKIN_FRICTION,
                acts=acting_between(0.0, LENGTH_M),
                coefficient=guess(0.12, 0.1, 0.15),
            ),
        ),
        base_burning=None,
        drag_mach=0.3,
        drag_reynolds_per_m=6.8e6,
        pitch_damping_per_rad=-90.0,
        fin_rows=(FinRow(name="fins", slope_per_rad=9.0, sheltered=0.0),),
    )


def stability_points(air, mass):
    points = []
    for moment, time, speed, alpha, balance in (
        (MomentName.RAIL_EXIT, 0.48, 16.0, math.radians(20), mass.lift_off_balance),
        (MomentName.BURNOUT, 2.6, 140.0, math.radians(4), mass.burnout_balance),
    ):
        row = int(np.abs(air.angles_rad - alpha).argmin())
        worst = int(air.pressure_forward_m[row].argmin())
        ends = [
            float(grid[row, worst])
            for grid in (air.pressure_central_m, air.pressure_forward_m, air.pressure_aft_m)
        ]
        bare = [float(grid[row, worst]) for grid in (air.bare_central_m, air.bare_forward_m, air.bare_aft_m)]
        points.append(
            StabilityPoint(
                moment=moment,
                time_s=time,
                speed_m_s=speed,
                alpha_rad=alpha,
                balance=balance,
                pressure=guess(*ends, method="slices and fins", source="Munk, NACA R-184"),
                worst_roll_rad=float(air.rolls_rad[worst]),
                margin=guess(ends[0] - balance.value, ends[1] - balance.high, ends[2] - balance.low),
                width_m=WIDTH_M,
                length_m=LENGTH_M,
                bare_margin=guess(bare[0] - balance.value, bare[1] - balance.high, bare[2] - balance.low),
                least_force=4.0,
                moment_slope=guess(8.0, 5.0, 11.0),
            )
        )
    return tuple(points)


def lighthouse_trace():
    step, height, speed = 0.02, 0.0, 0.0
    heights, speeds, felt = [0.0], [0.0], [0.0]
    falling = False
    while height >= 0.0:
        time = step * len(heights)
        push = 100.0 if time < 2.6 else 0.0
        drag = 0.002 * speed * abs(speed) if not falling else 9.81 / 36.0 * speed * abs(speed)
        body = push - drag
        speed += step * (body - 9.81)
        height += step * speed
        falling = falling or speed < 0
        heights.append(height)
        speeds.append(speed)
        felt.append(body)
    count = len(heights)
    times = step * np.arange(count)
    up, fast = np.array(heights), np.array(speeds)
    east = np.where(fast < 0, 3.0, 0.0).cumsum() * step
    zeros = np.zeros(count)
    top = int(up.argmax())
    events = (
        FlightEvent(kind=EventKind.LIFT_OFF, time_s=0.02, height_agl_m=0.0, speed_m_s=0.0),
        FlightEvent(kind=EventKind.RAIL_EXIT, time_s=0.28, height_agl_m=3.5, speed_m_s=25.0),
        FlightEvent(
            kind=EventKind.BURNOUT, time_s=2.6, height_agl_m=float(up[130]), speed_m_s=float(fast[130])
        ),
        FlightEvent(
            kind=EventKind.APOGEE, time_s=float(times[top]), height_agl_m=float(up[top]), speed_m_s=0.4
        ),
        FlightEvent(
            kind=EventKind.OUT,
            canopy="main",
            time_s=float(times[top]) + 0.5,
            height_agl_m=float(up[top]) - 1,
            speed_m_s=5.0,
        ),
        FlightEvent(kind=EventKind.GROUND, time_s=float(times[-1]), height_agl_m=0.0, speed_m_s=6.0),
    )
    return Trace(
        times_s=times,
        positions_m=np.stack([east, -0.4 * east, np.maximum(up, 0.0)], axis=1),
        velocities_m_s=np.stack([zeros, zeros, fast], axis=1),
        quaternions=np.tile([1.0, 0.0, 0.0, 0.0], (count, 1)),
        rates_rad_s=np.zeros((count, 3)),
        masses_kg=zeros + 5.0,
        thrusts_n=np.where(times < 2.6, 500.0, 0.0),
        airspeeds_m_s=np.abs(fast),
        machs=np.abs(fast) / 340.0,
        dynamic_pressures_pa=0.6 * fast**2,
        alphas_rad=zeros,
        rolls_rad=zeros,
        accelerations_m_s2=np.stack([np.array(felt), zeros, zeros], axis=1),
        events=events,
        ended="ground",
    )


def lighthouse_flight():
    trace = lighthouse_trace()
    east, north, _ = trace.positions_m[-1]
    far = math.hypot(east, north)
    apogee = float(trace.positions_m[:, 2].max())
    return FlightResult(
        trace=trace,
        lift_off_mass_kg=5.29,
        motor_name="demo-k500",
        impulse_n_s=1340.0,
        motor_letter="K",
        average_thrust_n=515.0,
        thrust_to_weight=guess(9.9, 9.2, 10.6),
        has_guide=True,
        rail=LeavingRail(
            fore_button_m=0.62,
            aft_button_m=1.17,
            speed=guess(16.0, 14.9, 17.1, method="six degrees of freedom"),
            fore_speed=guess(16.0, 14.9, 17.1),
            aft_speed=guess(17.2, 16.1, 18.4),
            wind=guess(3.0, 2.0, 4.0),
            wind_angle=guess(0.19, 0.12, 0.26),
            alpha_rad=math.radians(20),
            turned=guess(0.0, 0.0, 0.001),
            lean_by_play=guess(0.004, 0.002, 0.006),
            two_button_travel=5.5,
        ),
        thrust_line=ThrustLine(
            balance_across=(guess(0.001, 0.0, 0.002), guess(0.0, -0.001, 0.001)),
            thrust_across=(guess(0.0, -0.0005, 0.0005), guess(0.0, -0.0005, 0.0005)),
            arm=guess(0.001, 0.0, 0.004),
            moment=guess(0.5, 0.0, 2.0),
            righting_n_m=0.3,
            held_angle=guess(0.03, 0.0, 0.11),
        ),
        lean=guess(0.25, 0.2, 0.3),
        spinning=Spinning(
            ratio=guess(0.01, 0.0, 0.02),
            roll_rad_s=0.1,
            pitch_rad_s=10.0,
            time_s=1.0,
            fastest_rad_s=0.2,
            passes=False,
        ),
        swinging=Swinging(
            damping_ratio=guess(0.1, 0.07, 0.11), wavelength=guess(80.0, 75.0, 90.0), time_s=2.0
        ),
        least_wavelength_m=12.0,
        longest_chord_m=0.19,
        galloping_angle=guess(0.5, 0.3, 1.5),
        lopsided_angle=guess(0.5, 0.4, 0.6),
        steady_angle=guess(0.001, 0.0, 0.002),
        lost=(),
        deployments=(),
        apogee_agl=guess(apogee, 0.9 * apogee, 1.08 * apogee),
        max_speed=guess(180.0, 170.0, 188.0),
        max_mach=0.53,
        max_acceleration_m_s2=100.0,
        max_dynamic_pressure_pa=19800.0,
        flight_time_s=float(trace.times_s[-1]),
        landing_east_m=float(east),
        landing_north_m=float(north),
        drift=guess(far, 0.6 * far, 1.5 * far),
    )


def lighthouse_strength():
    stations = np.linspace(0.0, LENGTH_M, 41)
    bump = np.sin(math.pi * stations / LENGTH_M)
    thrust, gust = Case(load=Load.MAX_THRUST), Case(load=Load.RAIL_WIND)
    cases = (
        CaseLoads(
            case=thrust,
            stations_m=stations,
            axial_n=600 * stations,
            shear_n=20 * bump,
            bending_n_m=4 * bump,
            torsion_n_m=0 * bump,
        ),
        CaseLoads(
            case=gust,
            stations_m=stations,
            axial_n=350 * stations,
            shear_n=90 * np.cos(math.pi * stations / LENGTH_M),
            bending_n_m=34 * bump,
            torsion_n_m=0 * bump,
        ),
    )
    reserves = (
        Reserve(
            mode=FailureMode.WALL_PULLED,
            subject="tower",
            case=gust,
            station_m=0.61,
            dimension=Dimension.PRESSURE,
            load=guess(5e6, 4.5e6, 5.5e6),
            strength=guess(6e6, 4.4e6, 8.5e6, KnownBy.HANDBOOK),
            reserve=guess(1.2, 0.8, 1.9, KnownBy.HANDBOOK),
            rod_share=0.35,
        ),
        Reserve(
            mode=FailureMode.ROD_PULLED,
            case=thrust,
            station_m=0.9,
            dimension=Dimension.FORCE,
            load=guess(610.0, 560.0, 660.0),
            strength=guess(9200.0, 8000.0, 10000.0),
            reserve=guess(15.0, 12.0, 18.0),
            rod_share=0.8,
        ),
        Reserve(
            mode=FailureMode.FIN_FLUTTERS,
            subject="fins",
            station_m=1.0,
            dimension=Dimension.SPEED,
            load=guess(180.0, 170.0, 190.0),
            because=Because.MATERIAL_UNSAID,
        ),
    )
    return StrengthResult(cases=cases, reserves=reserves)


def lighthouse_recovery():
    return RecoveryResult(
        canopies=(
            CanopyResult(
                name="main",
                drag_area=guess(3.4, 3.0, 3.8, KnownBy.HANDBOOK, "nominal diameter", "Knacke, NWC TP 6575"),
                descent_speed=guess(5.0, 4.7, 5.4),
                opening_speed_m_s=7.0,
                opening_load=guess(310.0, 220.0, 420.0),
            ),
        ),
        charges=(
            ChargeResult(
                name="lantern charge",
                bay="lantern bay",
                powder=guess(0.0014, 0.00135, 0.00145, KnownBy.WEIGHED),
                needed_powder=guess(0.0011, 0.0009, 0.0013),
                pressure=guess(110e3, 90e3, 120e3),
                force_on_joint=guess(720.0, 600.0, 800.0),
                pins_hold=guess(450.0, 400.0, 500.0, KnownBy.HANDBOOK),
                resistance=guess(470.0, 410.0, 530.0),
                early_load=guess(95.0, 60.0, 150.0),
            ),
            ChargeResult(
                name="spare charge",
                bay="lantern bay",
                powder=None,
                needed_powder=guess(0.0011, 0.0009, 0.0013),
                pressure=None,
                force_on_joint=None,
                pins_hold=None,
                resistance=guess(470.0, 410.0, 530.0),
                early_load=guess(95.0, 60.0, 150.0),
            ),
        ),
        cords=(
            CordResult(
                name="shock cord",
                peak_load=guess(1900.0, 1200.0, 2900.0),
                strength=guess(8900.0, 8000.0, 9800.0, KnownBy.HANDBOOK),
            ),
        ),
        landing_speed=guess(5.0, 4.7, 5.4),
        landing_energy=guess(55.0, 48.0, 64.0),
        descent_mass_kg=4.4,
    )


def power(igniter: str, current: Estimate, all_fire_a: float | None) -> PathPower:
    return PathPower(
        path=FiringPath(
            canopy="main",
            charge="tower charge",
            igniter=igniter,
            computer="computer A",
            battery="battery A",
            switches=("switch A",),
            event=Moment(trigger=Trigger.APOGEE),
        ),
        current=current,
        all_fire_a=all_fire_a,
        voltage=guess(6.6, 6.1, 6.9),
        least_v=guess(5.0, 3.3, 6.0),
    )


def lighthouse_electronics():
    alone = FailingPart(kind=PartKind.SWITCH, name="switch A")
    return ElectronicsResult(
        computers=1,
        paths=(
            power("igniter A", guess(4.1, 3.8, 4.4), 1.0),
            power("igniter B", guess(4.0, 3.7, 4.3), None),
        ),
        checks=(),
        pad_times=(("battery A", guess(60000.0, 40000.0, 72000.0)), ("battery B", None)),
        arming=(
            ArmingOdds(
                computer="computer A",
                switches=(("switch A",),),
                no_arming=guess(0.03, 0.01, 0.1),
                unasked=guess(0.005, 0.001, 0.02),
            ),
        ),
        odds=(
            CanopyOdds(
                canopy="main",
                loss=guess(0.03, 0.01, 0.15),
                fires_near=guess(0.00002, 0.000001, 0.0005),
                cuts=(
                    CutSet(parts=(alone,), odds=guess(0.03, 0.01, 0.1)),
                    CutSet(
                        parts=(FailingPart(kind=PartKind.CHARGE, name=""),), odds=guess(0.002, 0.0003, 0.02)
                    ),
                ),
                doublings=(Doubling(part=alone, ratio=0.2),),
            ),
        ),
        single_points=(SinglePoint(part=alone, canopies=("main",)),),
    )


def lighthouse_range():
    return RangeResult(
        code="invented club code",
        edition="first",
        source="invented table 1",
        impulse_n_s=1340.0,
        minimum_distance_m=60.96,
        at_once=1,
        together=(),
        bystander_minimum_m=457.0,
        bystander_distance=None,
        field_side_m=1800.0,
        airspace="G",
        airspace_rules=(),
        field_minimum_m=457.2,
        faa_class="Class 2",
        is_high_power=True,
        limits=code_limits("NFPA 1127"),
        ceiling_agl_m=1500.0,
    )


def lighthouse_findings(points):
    rail = points[0].margin
    at_least, at_most = Sense.AT_LEAST, Sense.AT_MOST
    return (
        Finding(
            key="margin",
            stage="stability",
            subject=Subject(case="rail exit"),
            verdict=Verdict.NO_GO,
            value=rail,
            dimension=Dimension.LENGTH,
            bound=Bound(sense=at_least, value=0.19, source="common practice: one width"),
            margin=(rail.low - WIDTH_M) / WIDTH_M,
            fixes=(
                Fix(
                    key="move-apart",
                    facts={"short": Amount(value=0.16, dimension=Dimension.LENGTH)},
                ),
            ),
            safety=True,
        ),
        Finding(
            key="cord-across-joint",
            stage="recovery",
            subject=Subject(name="lantern joint"),
            verdict=Verdict.NO_GO,
            value=guess(1.2, 0.8, 1.9, KnownBy.HANDBOOK),
            dimension=None,
            bound=Bound(sense=at_least, value=1.5, source="common practice for prints"),
            margin=-0.47,
            fixes=(Fix(key="enter"),),
        ),
        Finding(
            key="charge-opens",
            stage="recovery",
            subject=Subject(name="spare charge"),
            verdict=Verdict.NOT_KNOWN,
            value=None,
            dimension=None,
            bound=Bound(sense=Sense.HOLDS, source="ground-test practice"),
            margin=None,
            facts={"bay": "lantern bay"},
            fixes=(Fix(key="enter-powder"),),
            safety=True,
        ),
        Finding(
            key="single-points",
            stage="electronics",
            subject=Subject(),
            verdict=Verdict.CAUTION,
            value=None,
            dimension=None,
            bound=Bound(sense=Sense.HOLDS, source="fault trees"),
            margin=None,
            facts={"points": "switch S", "alone": "main"},
            fixes=(Fix(key="second-part"),),
        ),
        Finding(
            key="rail-exit-speed",
            stage="flight",
            subject=Subject(),
            verdict=Verdict.GO,
            value=guess(16.0, 14.9, 17.1),
            dimension=Dimension.SPEED,
            bound=Bound(sense=at_least, value=13.0, source="rail practice"),
            margin=0.146,
            safety=True,
        ),
        Finding(
            key="landing-speed",
            stage="recovery",
            subject=Subject(),
            verdict=Verdict.GO,
            value=guess(5.0, 4.7, 5.4),
            dimension=Dimension.SPEED,
            bound=Bound(sense=at_most, value=6.1, source="mains practice"),
            margin=0.115,
            safety=True,
        ),
    )


@pytest.fixture(scope="package", autouse=True)
def tables_set_right():
    """No test of the report makes a table that names a column which it lacks."""
    with columns_looked_at():
        yield


@pytest.fixture(scope="session")
def readiness():
    mass, air, flight = lighthouse_mass(), lighthouse_air(), lighthouse_flight()
    points = stability_points(air, mass)
    return Readiness(
        name="Pretend Light",
        note="Invented for the tests.",
        sheet_file="pretend-light.toml",
        us_units=False,
        depth=Depth.QUICK,
        own_limits={},
        shape=lighthouse_shape(),
        mass=mass,
        air=air,
        stability=points,
        inside=nothing_inside(),
        strength=lighthouse_strength(),
        flight=flight,
        recovery=lighthouse_recovery(),
        electronics=lighthouse_electronics(),
        range_safety=lighthouse_range(),
        findings=lighthouse_findings(points),
        guesses=(
            Guess(
                kind=GuessKind.MASS,
                name="paint and filler",
                mass=guess(0.3, 0.15, 0.45, KnownBy.ASSUMED),
                moves_m=0.009,
                weight=0.3,
            ),
            Guess(
                kind=GuessKind.STEP, name="step", step_m=0.3, reach_m=(0.09, 0.02), moves_m=0.09, weight=0.9
            ),
        ),
        verdict=Verdict.NO_GO,
    )
