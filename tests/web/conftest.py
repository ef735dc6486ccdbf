"""An invented vehicle whose answers follow from two lines of arithmetic, to be worked out by hand.

Without ballast it weighs 6 kg and balances 0.700 m aft of the tip. The ballast hangs 0.100 m aft of the
tip; 1.5 kg of it as written: the balance point is (6 * 0.7 + 1.5 * 0.1) / 7.5 = 0.580 m. The pressure band
is 0.600 m to 0.800 m as written and moves 0.2 m aft for each unit of the fins' span factor. At 0.500 m the
walls hold 12 kg's weight: their reserve is 12 / 7.5 = 1.60 as written; at 0.300 m nobody knows.
"""

import asyncio
from collections.abc import Callable, Coroutine, Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace

import httpx
import numpy as np
import pytest
from serving import serving
from unsaid import nothing_inside

from finial.aero.table.record import AirTable
from finial.assemble.air.results import AirResult, FinRow
from finial.assemble.electronics.results import ElectronicsResult
from finial.assemble.flights.results import FlightResult, LeavingRail
from finial.assemble.mass.results import MassResult, MassRow
from finial.assemble.recovery.results import CanopyResult, RecoveryResult
from finial.assemble.stability.results import MomentName, StabilityPoint
from finial.assemble.strength.results import StationReserves, StrengthResult
from finial.assemble.vehicle.results import ShapeResult
from finial.core.dimensions import Dimension
from finial.core.errors import NotConverged
from finial.core.estimates import Estimate, KnownBy, exact, spread
from finial.findings.finding import Amount, Bound, Finding, Fix, Sense, Subject, Verdict, overall
from finial.findings.guess import Guess, GuessKind
from finial.findings.range_result import RangeResult
from finial.findings.readiness import Depth, Readiness
from finial.flight.trace import EventKind, FlightEvent, Trace
from finial.inside.cavity import Printed, cavity_of
from finial.inside.things import Kind, Thing
from finial.mass.properties import MassProperties
from finial.range_safety.limits import code_limits
from finial.shape.fin_set import FinSet
from finial.shape.mesh import Mesh
from finial.shape.repair import repaired
from finial.shape.sections import slice_skin
from finial.shape.skin import Section, Skin
from finial.shape.tiers import Tier, tiers_mesh
from finial.structure.loads.case import Case, Load
from finial.structure.reserves import FailureMode, Reserve
from finial.web.guard import cookie_name
from finial.web.session import PageQuestion, Session

BARE_KG, BARE_STATION_M = 6.0, 0.700
BALLAST_KG, BALLAST_STATION_M = 1.5, 0.100
LENGTH_M, ACROSS_M = 1.0, 0.16
PAGE_KEY = "a-key-of-these-tests"
AS_WRITTEN = PageQuestion(ballast_kg={}, fin_span_scale=1.0)


def with_key(port: int) -> dict[str, str]:
    """Cookies of a browser that opened the page."""
    return {cookie_name(port): PAGE_KEY}


def answered(change: PageQuestion, *, us_units: bool = False) -> Readiness:
    """Answer a change by the arithmetic above; ballast of 3.0 to 3.2 kg does not converge."""
    ballast_kg = change.ballast_kg.get("nose ballast", BALLAST_KG)
    if 3.0 <= ballast_kg <= 3.2:
        raise NotConverged("the flight gave up after 10 steps")
    mass_kg = BARE_KG + ballast_kg
    balance_m = (BARE_KG * BARE_STATION_M + ballast_kg * BALLAST_STATION_M) / mass_kg
    aft_m = 0.2 * (change.fin_span_scale - 1.0)
    point = _point(balance_m, (0.6 + aft_m, 0.7 + aft_m, 0.8 + aft_m))
    findings = _findings(point)
    return Readiness(
        name="Invented Beacon",
        note="Every number in it is made up.",
        sheet_file="invented/beacon.toml",
        us_units=us_units,
        depth=Depth.QUICK,
        own_limits={},
        shape=_shape(change.fin_span_scale),
        mass=_mass(mass_kg, ballast_kg, balance_m),
        air=_air(aft_m),
        stability=(point,),
        inside=nothing_inside(),
        strength=_strength(mass_kg),
        flight=_flight(mass_kg),
        recovery=_recovery(),
        electronics=ElectronicsResult(
            computers=0, paths=(), checks=(), pad_times=(), arming=(), odds=(), single_points=()
        ),
        range_safety=_range(),
        findings=findings,
        guesses=(
            Guess(
                kind=GuessKind.MASS,
                name="nose ballast",
                mass=Estimate(value=1.5, low=1.4, high=1.6, known_by=KnownBy.ASSUMED),
                moves_m=0.009,
                weight=0.4,
            ),
        ),
        verdict=overall(findings),
    )


def _point(balance_m: float, band_m: tuple[float, float, float]) -> StabilityPoint:
    low, middle, high = band_m
    balance = Estimate(
        value=balance_m, low=balance_m - 0.005, high=balance_m + 0.005, known_by=KnownBy.WEIGHED
    )
    return StabilityPoint(
        moment=MomentName.RAIL_EXIT,
        time_s=0.4,
        speed_m_s=16.0,
        alpha_rad=0.25,
        balance=balance,
        pressure=Estimate(value=middle, low=low, high=high, known_by=KnownBy.COMPUTED),
        worst_roll_rad=0.0,
        margin=Estimate(
            value=middle - balance_m,
            low=low - balance.high,
            high=high - balance.low,
            known_by=KnownBy.COMPUTED,
        ),
        width_m=0.16,
        length_m=LENGTH_M,
        bare_margin=exact(-0.2),
        least_force=4.0,
        moment_slope=exact(5.0),
    )


def _findings(point: StabilityPoint) -> tuple[Finding, ...]:
    needed_m = 0.05
    stable = point.margin.low >= needed_m
    short = Amount(value=needed_m - point.margin.low, dimension=Dimension.LENGTH)
    margin = Finding(
        key="margin",
        stage="stability",
        subject=Subject(case="rail exit"),
        verdict=Verdict.GO if stable else Verdict.NO_GO,
        value=point.margin,
        dimension=Dimension.LENGTH,
        bound=Bound(sense=Sense.AT_LEAST, value=needed_m, source="common practice"),
        margin=point.margin.low / needed_m - 1,
        fixes=() if stable else (Fix(key="move-apart", facts={"short": short}),),
        safety=True,
    )
    unknown = Finding(
        key="firing-current",
        stage="electronics",
        subject=Subject(name="igniter A"),
        verdict=Verdict.NOT_KNOWN,
        value=None,
        dimension=None,
        bound=Bound(sense=Sense.HOLDS, source="common practice"),
        margin=None,
        fixes=(Fix(key="enter-all-fire"),),
    )
    speed = Finding(
        key="rail-exit-speed",
        stage="flight",
        subject=Subject(),
        verdict=Verdict.GO,
        value=spread(16.0, 0.05, known_by=KnownBy.COMPUTED),
        dimension=Dimension.SPEED,
        bound=Bound(sense=Sense.AT_LEAST, value=13.0, source="common practice"),
        margin=0.17,
    )
    return tuple(sorted((margin, unknown, speed), key=lambda finding: -finding.verdict))


def _box(length_m: float, half_m: float) -> tuple[np.ndarray, np.ndarray]:
    corners = np.array(
        [(-x, y, z) for x in (0.0, length_m) for y in (-half_m, half_m) for z in (-half_m, half_m)]
    )
    faces = [(0, 1, 3), (0, 3, 2), (4, 6, 7), (4, 7, 5), (0, 4, 5), (0, 5, 1)]
    faces += [(2, 3, 7), (2, 7, 6), (0, 2, 6), (0, 6, 4), (1, 5, 7), (1, 7, 3)]
    return corners, np.array(faces)


def _shape(scale: float) -> ShapeResult:
    corners, faces = _box(LENGTH_M, ACROSS_M / 2)
    fin_corner = len(corners)
    corners = np.vstack([corners, [(-0.8, 0.08, 0.0), (-1.0, 0.08, 0.0), (-1.0, 0.08 + 0.15 * scale, 0.0)]])
    faces = np.vstack([faces, [(fin_corner, fin_corner + 1, fin_corner + 2)]])
    square = np.array([(-0.08, -0.08), (0.08, -0.08), (0.08, 0.08), (-0.08, 0.08)])
    sections = tuple(
        Section(station_m=station, loops=(square,), area_m2=0.0256, perimeter_m=0.64, centroid_m=(0.0, 0.0))
        for station in (0.0, LENGTH_M)
    )
    outline = np.array([(0.0, 0.0), (0.1, 0.15 * scale), (0.2, 0.15 * scale), (0.2, 0.0)])
    return ShapeResult(
        skin=Skin(sections=sections, length_m=LENGTH_M, volume_m3=0.0256, wetted_area_m2=0.66),
        display_mesh=Mesh(vertices_m=corners, faces=faces),
        fin_faces=np.array([False] * 12 + [True]),
        fins=(
            FinSet(
                name="fins",
                outline_m=outline,
                station_m=0.8,
                root_radius_m=0.08,
                count=4,
                first_at_rad=0.0,
                thickness_m=0.004,
            ),
        ),
        across_m=(ACROSS_M, ACROSS_M),
        repairs=(),
    )


def _mass(mass_kg: float, ballast_kg: float, balance_m: float) -> MassResult:
    whole = MassProperties(mass_kg=mass_kg, centre_m=np.array([-balance_m, 0, 0]), inertia_kg_m2=np.eye(3))
    burnt = MassProperties(mass_kg=mass_kg - 0.8, centre_m=whole.centre_m, inertia_kg_m2=np.eye(3))
    rows = (
        MassRow(name="tower", kind="part", mass=exact(BARE_KG), station_m=BARE_STATION_M),
        MassRow(
            name="nose ballast",
            kind="item",
            mass=Estimate(value=ballast_kg, low=ballast_kg, high=ballast_kg, known_by=KnownBy.WEIGHED),
            station_m=BALLAST_STATION_M,
        ),
    )
    return MassResult(
        rows=rows,
        lift_off=whole,
        burnout=burnt,
        lift_off_mass=spread(mass_kg, 0.01, known_by=KnownBy.WEIGHED),
        lift_off_balance=spread(balance_m, 0.01, known_by=KnownBy.WEIGHED),
        burnout_balance=spread(balance_m, 0.01, known_by=KnownBy.WEIGHED),
    )


def _air(aft_m: float) -> AirResult:
    angles, rolls = np.radians(np.linspace(0, 30, 13)), np.linspace(0, 2 * np.pi, 5)
    forward = 0.6 + aft_m + 0.15 * np.sin(angles)[:, None] + 0.01 * np.cos(rolls)[None, :] ** 2
    zero = np.zeros(1)
    grid = np.zeros((1, 1, 1))
    stations = np.linspace(0.0, LENGTH_M, 500)
    return AirResult(
        table=AirTable(
            reference_area_m2=0.0256,
            width_m=0.18,
            alpha_rad=zero,
            roll_rad=zero,
            mach=zero,
            along=grid,
            across=grid,
            along_moment=grid,
            across_moment=grid,
            roll_moment=grid,
            axial_power_on=grid,
            axial_power_off=grid,
            pitch_damping=zero,
            roll_damping=zero,
            damping_centre_m=0.6,
        ),
        angles_rad=angles,
        rolls_rad=rolls,
        pressure_central_m=forward + 0.1,
        pressure_forward_m=forward,
        pressure_aft_m=forward + 0.2,
        bare_central_m=forward - 0.3,
        bare_forward_m=forward - 0.4,
        bare_aft_m=forward - 0.2,
        contributions=(),
        fin_rows=(FinRow(name="fins", slope_per_rad=7.0, sheltered=0.0),),
        slope_per_rad=exact(9.0),
        bare_slope_per_rad=exact(2.0),
        load_stations_m=stations,
        load_per_m=8 * np.exp(-(((stations - 0.05) / 0.1) ** 2))
        - 3 * np.exp(-(((stations - 0.9) / 0.08) ** 2)),
        drag_rows=(),
        base_burning=None,
        drag_mach=0.2,
        drag_reynolds_per_m=4e6,
        pitch_damping_per_rad=-20.0,
    )


def _flight(mass_kg: float) -> FlightResult:
    times = np.linspace(0.0, 60.0, 1201)
    apogee_m = 4000.0 / mass_kg
    heights = np.where(times < 10, apogee_m * (1 - (times / 10 - 1) ** 2), apogee_m * (60 - times) / 50)
    steps = len(times)
    events = (
        FlightEvent(kind=EventKind.RAIL_EXIT, time_s=0.4, height_agl_m=3.6, speed_m_s=16.0),
        FlightEvent(kind=EventKind.APOGEE, time_s=10.0, height_agl_m=apogee_m, speed_m_s=4.0),
        FlightEvent(kind=EventKind.GROUND, time_s=60.0, height_agl_m=0.0, speed_m_s=6.0),
    )
    trace = Trace(
        times_s=times,
        positions_m=np.column_stack([times, times, heights]),
        velocities_m_s=np.zeros((steps, 3)),
        quaternions=np.tile([1.0, 0, 0, 0], (steps, 1)),
        rates_rad_s=np.zeros((steps, 3)),
        masses_kg=np.full(steps, mass_kg),
        thrusts_n=np.zeros(steps),
        airspeeds_m_s=np.zeros(steps),
        machs=np.zeros(steps),
        dynamic_pressures_pa=np.zeros(steps),
        alphas_rad=np.zeros(steps),
        rolls_rad=np.zeros(steps),
        accelerations_m_s2=np.zeros((steps, 3)),
        events=events,
        ended="ground",
    )
    return FlightResult(
        trace=trace,
        lift_off_mass_kg=mass_kg,
        motor_name="Demo K500",
        impulse_n_s=1500.0,
        motor_letter="K",
        average_thrust_n=500.0,
        thrust_to_weight=spread(500.0 / mass_kg / 9.80665, 0.05, known_by=KnownBy.COMPUTED),
        has_guide=True,
        rail=LeavingRail(
            fore_button_m=0.6,
            aft_button_m=1.1,
            speed=spread(16.0, 0.05, known_by=KnownBy.COMPUTED),
            fore_speed=spread(16.0, 0.05, known_by=KnownBy.COMPUTED),
            aft_speed=spread(17.0, 0.05, known_by=KnownBy.COMPUTED),
            wind=spread(3.0, 0.3, known_by=KnownBy.COMPUTED),
            wind_angle=spread(0.18, 0.3, known_by=KnownBy.COMPUTED),
            alpha_rad=0.25,
            turned=spread(0.001, 0.5, known_by=KnownBy.COMPUTED),
            lean_by_play=spread(0.004, 0.5, known_by=KnownBy.HANDBOOK),
            two_button_travel=5.0,
        ),
        thrust_line=None,
        lean=spread(0.25, 0.1, known_by=KnownBy.COMPUTED),
        spinning=None,
        swinging=None,
        least_wavelength_m=12.0,
        longest_chord_m=0.19,
        galloping_angle=None,
        lopsided_angle=spread(0.5, 0.1, known_by=KnownBy.COMPUTED),
        steady_angle=spread(0.001, 0.1, known_by=KnownBy.COMPUTED),
        lost=(),
        deployments=(),
        apogee_agl=spread(apogee_m, 0.05, known_by=KnownBy.COMPUTED),
        max_speed=spread(95.0, 0.05, known_by=KnownBy.COMPUTED),
        max_mach=0.28,
        max_acceleration_m_s2=80.0,
        max_dynamic_pressure_pa=5500.0,
        flight_time_s=60.0,
        landing_east_m=60.0,
        landing_north_m=60.0,
        drift=spread(84.9, 0.3, known_by=KnownBy.COMPUTED),
    )


def _strength(mass_kg: float) -> StrengthResult:
    boost, crushed = Case(load=Load.MAX_THRUST), FailureMode.WALL_CRUSHED
    wrinkles, pulled = FailureMode.WALL_WRINKLES, FailureMode.ROD_PULLED
    row = Reserve(
        mode=crushed,
        subject="tower",
        case=boost,
        station_m=0.5,
        dimension=Dimension.PRESSURE,
        load=spread(1.2e6, 0.1, known_by=KnownBy.COMPUTED),
        strength=spread(4e6, 0.3, known_by=KnownBy.HANDBOOK),
        reserve=spread(3.3, 0.4, known_by=KnownBy.HANDBOOK),
        rod_share=0.6,
    )
    along = StationReserves(
        stations_m=np.array([0.1, 0.3, 0.5, 0.7, 0.9]),
        reserves=np.array([8.0, np.nan, 12.0 / mass_kg, 2.5, 4.0]),
        modes=(crushed, None, wrinkles, wrinkles, pulled),
        cases=(boost, None, boost, boost, boost),
    )
    return StrengthResult(cases=(), reserves=(row,), by_station=along)


def _recovery() -> RecoveryResult:
    main = CanopyResult(
        name="main",
        drag_area=exact(3.4),
        descent_speed=spread(5.8, 0.06, known_by=KnownBy.HANDBOOK),
        opening_speed_m_s=20.0,
        opening_load=spread(700.0, 0.2, known_by=KnownBy.COMPUTED),
    )
    return RecoveryResult(
        canopies=(main,),
        charges=(),
        cords=(),
        landing_speed=main.descent_speed,
        landing_energy=spread(120.0, 0.1, known_by=KnownBy.COMPUTED),
        descent_mass_kg=6.5,
    )


def _range() -> RangeResult:
    return RangeResult(
        code="NFPA 1127",
        edition="invented",
        source="invented",
        impulse_n_s=1500.0,
        minimum_distance_m=60.0,
        at_once=1,
        together=(),
        bystander_minimum_m=457.0,
        bystander_distance=None,
        field_side_m=1800.0,
        airspace="G",
        airspace_rules=(),
        field_minimum_m=None,
        faa_class="class 2",
        is_high_power=True,
        limits=code_limits("NFPA 1127"),
        ceiling_agl_m=None,
    )


@pytest.fixture
def with_a_post(session: Session) -> Session:
    """The invented vehicle with a square post for its shape, and a stick in it."""
    post = tiers_mesh([Tier(sides=4, across_m=0.16, across_top_m=0.16, height_m=1.0)])
    hole = Thing(name="hole", kind=Kind.OTHER, middle_m=0.5, length_m=0.9, across_m=0.1)
    part = Printed(name="post", mended=repaired(post), outside=True, bores=(hole,))
    cavity = cavity_of([part], slice_skin([post]))
    stick = Thing(name="stick", kind=Kind.OTHER, middle_m=0.4, length_m=0.2, across_m=0.02)
    inside = replace(session.as_written.inside, cavity=cavity, things=(stick,))
    return replace(session, as_written=replace(session.as_written, inside=inside))


@pytest.fixture
def in_a_loop_of_its_own() -> Iterator[Callable[[Coroutine], object]]:
    """Run in a thread with its own loop: where browser tests ran before, this thread has one already."""
    with ThreadPoolExecutor(1) as pool:
        yield lambda asked: pool.submit(asyncio.run, asked).result()


@pytest.fixture(scope="session")
def readiness() -> Readiness:
    """The answer to the invented sheet as written."""
    return answered(AS_WRITTEN)


@pytest.fixture(scope="session")
def us_readiness() -> Readiness:
    """The same, shown in US units."""
    return answered(AS_WRITTEN, us_units=True)


@pytest.fixture(scope="session")
def session(readiness: Readiness) -> Session:
    """A session about the invented vehicle."""
    return Session(as_written=readiness, answer=answered)


@pytest.fixture(scope="session")
def client(session: Session) -> Iterator[httpx.Client]:
    """Requests over HTTP to a server that runs beside the test."""
    with (
        serving(session, PAGE_KEY) as port,
        httpx.Client(base_url=f"http://127.0.0.1:{port}", cookies=with_key(port)) as requests,
    ):
        yield requests
