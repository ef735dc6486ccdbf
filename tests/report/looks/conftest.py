"""Invented campaign, recovery, strength and sizing results, and every picture drawn of them in both units."""

import math
from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from finial.assemble.inside.results import InsideResult, Meeting
from finial.assemble.looks.glance import Look
from finial.assemble.recovery.records import (
    BurstStudy,
    CanopyStudy,
    LipEdge,
    LipStudy,
    PulledCase,
    Shot,
    StartDoubt,
    TetherStudy,
)
from finial.assemble.strength.fins.records import (
    FinEnvelope,
    FinHeld,
    FinModePicture,
    FinStudy,
    FinSweep,
    StayStudy,
)
from finial.assemble.strength.records import ShareRow
from finial.assemble.strength.results import StationReserves
from finial.campaign.landing import landing_ellipse
from finial.campaign.sensitivity import Sensitivity
from finial.core.estimates import Estimate, KnownBy, exact
from finial.flight.uncertain import Drawn, Uncertain
from finial.inside.cavity import Cavity
from finial.inside.things import Kind, Thing
from finial.recovery.canopies.inflation import InflationHistory
from finial.recovery.charges.burst import BurstHistory
from finial.recovery.tether.outcome import EndPull
from finial.report.album import pictures
from finial.report.pictures.air_pictures import air_pictures
from finial.report.pictures.campaign_landings import campaign_landings
from finial.report.pictures.campaign_shares import campaign_shares
from finial.report.pictures.campaign_spread import campaign_spread
from finial.report.pictures.campaign_tracks import campaign_tracks
from finial.report.pictures.flight_pictures import flight_pictures
from finial.report.pictures.inside_section import inside_section
from finial.report.pictures.recovery_opening import opening_over_time
from finial.report.pictures.recovery_pressure import pressure_over_time
from finial.report.pictures.recovery_tension import tension_over_time
from finial.report.pictures.recovery_zipper import margin_over_events
from finial.report.pictures.size_front import size_front
from finial.report.pictures.strength_fins import (
    fin_before_and_after,
    fin_envelope_picture,
    fin_modes_picture,
    fin_sweep_picture,
)
from finial.report.pictures.strength_loads import strength_loads
from finial.report.pictures.strength_reserves import reserves_by_station, walls_with_and_without_rods
from finial.sizing.trade import Tried
from finial.structure.fins.root import STIFF_ROOT
from finial.structure.fins.stays import StayPair
from finial.structure.loads.case import Case, Load
from finial.structure.reserves import FailureMode

GUST, THRUST = Case(load=Load.RAIL_WIND), Case(load=Load.MAX_THRUST)


def between(low: float, value: float, high: float) -> Estimate:
    return Estimate(value=value, low=low, high=high, known_by=KnownBy.COMPUTED)


def canopy() -> CanopyStudy:
    """A load that rises to 400 N in half a second and dies; the closed form says 500 N."""
    times = np.linspace(0.0, 1.0, 101)
    loads = 400.0 * np.sin(math.pi * times)
    return CanopyStudy(
        name="main",
        kind="flat circular",
        drag_area=exact(3.4),
        descent_speed=exact(5.0),
        drop_height=exact(1.3),
        swing_rad=(0.1, 0.2),
        reefing="",
        filling_time=exact(0.5),
        closed_form=between(400.0, 500.0, 650.0),
        coupled=between(300.0, 400.0, 500.0),
        with_slider=exact(250.0),
        history=InflationHistory(times_s=times, loads_n=loads, speeds_m_s=times, areas_m2=times),
    )


def burst_history(peak_pa: float) -> BurstHistory:
    """Pressure that rises straight to its peak at 10 ms and falls to nothing at 20 ms; 12 m/s at the end."""
    times = np.linspace(0.0, 0.02, 41)
    return BurstHistory(
        times_s=times,
        pressures_pa=peak_pa * (1 - np.abs(times / 0.01 - 1)),
        travels_m=times,
        speeds_m_s=600.0 * times,
        temperatures_k=300.0 + times,
        parted_s=0.01,
        moved_s=0.005,
    )


def shot(charge: str, grams: float) -> Shot:
    return Shot(
        charge=charge,
        powder_kg=grams / 1000,
        closed_form_pa=exact(120e3),
        peak=between(60e3, 100e3, 140e3),
        speed=between(0.0, 12.0, 15.0),
        opens=True,
        histories=(burst_history(60e3), burst_history(100e3), burst_history(140e3)),
    )


def bay() -> BurstStudy:
    return BurstStudy(
        bay="lantern bay",
        shots=(shot("lantern charge", 1.4), shot("spare charge", 1.8), shot("", 3.2)),
        wall_holds_pa=None,
        joint_cap_n=1500.0,
        joint_peak_n=900.0,
        by_height=(),
        loose_powder_ends_m=6000.0,
        tested=(),
        plan=(),
    )


def pulled(offset_s: float, wind: str, across_m_s: float, margin_low: float | None) -> PulledCase:
    still = EndPull(along_n=0.0, across_n=0.0)
    return PulledCase(
        doubt=StartDoubt.NONE,
        offset_s=offset_s,
        wind=wind,
        speed_m_s=20.0,
        across_m_s=across_m_s,
        peak_n=900.0,
        snatch_n=500.0,
        lip_bend_rad=1.0,
        lip_tension_n=300.0,
        lip_edge=LipEdge.UPPER,
        margin_low=margin_low,
        margin=margin_low,
        on_fore=still,
        on_aft=still,
    )


def cord() -> TetherStudy:
    """Two seconds of pull, largest 800 N at one second; the lip is at its limit 2 s late in strong wind."""
    times = np.linspace(0.0, 2.0, 81)
    bump = np.maximum(1 - np.abs(times - 1.0) / 0.5, 0.0)
    winds = {"day": 1.0, "windy": 0.0, "calm": 9.0}
    return TetherStudy(
        cord="shock cord",
        joint="lantern joint",
        strength=between(1000.0, 1200.0, 1400.0),
        rated_over_weight=20.0,
        length_over_vehicle=3.0,
        closed_form=exact(950.0),
        parting_m_s=exact(12.0),
        times_s=times,
        tensions_n=np.stack([800.0 * bump, 600.0 * bump, 400.0 * bump]),
        canopy="main",
        cases=tuple(
            pulled(offset, wind, 10.0, spare + abs(offset - 2.0))
            for wind, spare in winds.items()
            for offset in (-3.0, 0.0, 2.0, 5.0)
        ),
        spread=(),
        by_speed=tuple(pulled(0.0, "day", across, 3.0 - across / 10) for across in (0.0, 10.0, 20.0, 40.0)),
        meeting=None,
        lip=LipStudy(
            material="PETG",
            ring=False,
            wall_m=0.003,
            edge_radius_m=0.001,
            edge_as_cut=True,
            layered=True,
            layers_across=True,
            bears_m=0.006,
            tested=False,
            holds_square=exact(400.0),
        ),
        remedies=(),
        hangs=False,
        width_assumed=True,
        may_part=False,
    )


def held(flutter_m_s: Estimate | None, hz: float) -> FinHeld:
    return FinHeld(
        frequencies_hz=np.array([hz, 2.4 * hz, 6.0 * hz]),
        twists=(False, True, False),
        flutter=flutter_m_s,
        flutter_hz=60.0,
        flutter_all_alike=None,
        divergence_m_s=math.inf,
        lift_ratio=1.0,
        centre_shift_m=0.0,
        tip_shift_m=0.0,
        tip_twist_rad=0.0,
        stress=None,
        stress_at_m=(0.0, 0.0),
        root_moment_n_m=1.0,
    )


def stay() -> StayStudy:
    pair = StayPair(
        along_m=0.13, outward_m=0.1, diameter_m=0.001, modulus_pa=2e11, preload_n=10.0, to="next fin"
    )
    return StayStudy(
        pair=pair,
        stiffness_n_per_m=1e4,
        shift=exact(0.001),
        slack_at=exact(0.002),
        slack_reserve=None,
        preload_n=exact(10.0),
        tight_n=exact(20.0),
        strength_n=exact(500.0),
        inward_n=10.0,
        bowing_n=exact(100.0),
        anchor_holds_n=None,
        drag_n=1.0,
        crosses_body_at_m=None,
    )


def fin() -> FinStudy:
    """A square of 200 mm whose first mode rises with the distance from the root, the second turns about
    the middle, the third stands still half way out."""
    side = np.linspace(0.0, 0.2, 6)
    along, out = (grid.ravel() for grid in np.meshgrid(side, side))
    cell = [(row * 6 + column) for row in range(5) for column in range(5)]
    triangles = [corner for at in cell for corner in ((at, at + 1, at + 7), (at, at + 7, at + 6))]
    turn = along / 0.1 - 1.0
    along = along + 0.03  # it begins aft of its station
    modes = np.stack([out / 0.2, turn, 1.0 - 2 * out / 0.2], axis=1)
    speeds = np.linspace(0.0, 200.0, 21)
    return FinStudy(
        name="fins",
        station_m=0.9,
        hold=STIFF_ROOT,
        drawn_in="",
        thickness=exact(0.005),
        material="plywood",
        top_speed=between(170.0, 180.0, 190.0),
        screen=exact(250.0),
        strength=exact(3e7),
        pressed_pa=1000.0,
        held=held(between(120.0, 150.0, 180.0), 50.0),
        bare=held(between(90.0, 100.0, 110.0), 40.0),
        stays=(stay(),),
        proposal=None,
        modes=FinModePicture(
            corners_m=np.stack([along, out], axis=1),
            triangles=np.array(triangles),
            deflections=modes,
            frequencies_hz=np.array([50.0, 120.0, 300.0]),
        ),
        growing=None,
        sweep=FinSweep(
            speeds_m_s=speeds,
            frequencies_hz=np.stack([50.0 + speeds / 20, 120.0 - speeds / 10], axis=1),
            damping=np.stack([0.001 * speeds, 0.15 - 0.001 * speeds], axis=1),
        ),
        envelope=FinEnvelope(
            heights_agl_m=np.array([0.0, 250.0, 500.0, 750.0, 1000.0]),
            flutter_m_s=np.array([150.0, 152.0, 154.0, 156.0, math.inf]),
            flown_m_s=np.array([190.0, 170.0, 120.0, 50.0, math.nan]),
        ),
        outline_m=np.array([[0.03, 0.0], [0.03, 0.2], [0.23, 0.2], [0.23, 0.0]]),
        root_glue=None,
    )


def station_reserves() -> StationReserves:
    """Short of 1.5 at 0.3 m, well above at 0.6 m, not known at 0.9 m, beyond what is drawn at 1.1 m."""
    return StationReserves(
        stations_m=np.array([0.3, 0.6, 0.9, 1.1]),
        reserves=np.array([1.2, 4.0, math.nan, 9.0]),
        modes=(FailureMode.WALL_PULLED, FailureMode.ROD_PULLED, None, FailureMode.WALL_PULLED),
        cases=(GUST, THRUST, None, GUST),
    )


def share_rows() -> tuple[ShareRow, ...]:
    usual = {"station_m": 0.6, "axial_n": 500.0, "rod_share": 0.35}
    return (
        ShareRow(
            case=GUST, pulled_with=between(3.0, 4.0, 5.0), pulled_without=between(1.5, 2.0, 3.0), **usual
        ),
        ShareRow(case=THRUST, pulled_with=between(9.0, 10.0, 12.0), pulled_without=None, **usual),
    )


def tried(ballast_kg: float, apogee_m: float, span_m: float, *, is_best: bool) -> Tried:
    look = Look(
        mass_kg=5.0,
        margin_m=0.2,
        width_m=0.19,
        apogee_m=apogee_m,
        rail_exit_low_m_s=16.0,
        landing_speed=None,
        span_m=span_m,
    )
    return Tried(
        changes={},
        span=1.0,
        station_m=0.9,
        count=4,
        ballast_kg=ballast_kg,
        look=look,
        is_best=is_best,
    )


def trade() -> tuple[Tried, ...]:
    return (
        tried(0.5, 900.0, 0.20, is_best=True),
        tried(0.8, 700.0, 0.16, is_best=False),
        tried(1.1, 950.0, 0.12, is_best=True),
    )


def landings() -> np.ndarray:
    """Sixty points on a ring of 100 m by 50 m round a place 200 m east and 100 m north of the pad."""
    turn = np.linspace(0.0, 2 * math.pi, 61)[:-1]
    return np.stack([200.0 + 100.0 * np.cos(turn), 100.0 + 50.0 * np.sin(turn)], axis=1)


def insides(readiness) -> InsideResult:
    """A box of 100 mm, walls of 5, 0.6 m long: a motor in its tube, a sled aside, four rods, one touch."""
    import shapely

    stations = np.linspace(0.0, 0.6, 7)
    skin = shapely.box(-0.05, -0.05, 0.05, 0.05)
    wall = skin.difference(shapely.box(-0.045, -0.045, 0.045, 0.045))
    every = np.array([skin] * 7, dtype=object)
    cavity = Cavity(
        stations_m=stations,
        length_m=0.6,
        parts=(),
        skin=every,
        printed=np.array([[wall] * 7], dtype=object),
        free=every,
        free_edge=every,
        skin_edge=every,
    )
    things = (
        Thing(name="motor", kind=Kind.MOTOR, middle_m=0.45, length_m=0.2, across_m=0.038, lies_in="tube"),
        Thing(name="tube", kind=Kind.MOTOR_TUBE, middle_m=0.45, length_m=0.3, across_m=0.041, bore_m=0.038),
        Thing(
            name="sled",
            kind=Kind.SLED,
            middle_m=0.15,
            length_m=0.1,
            across_m=0.05,
            depth_m=0.01,
            offset_m=(0.01, 0.0),
        ),
        *(
            Thing(name="rod", kind=Kind.ROD, middle_m=0.3, length_m=0.5, across_m=0.006, offset_m=(y, z))
            for y in (-0.035, 0.035)
            for z in (-0.035, 0.035)
        ),
    )
    touch = Meeting(first="motor", second="tube", gap=exact(-0.002), station_m=0.4, with_part=False)
    return replace(readiness.inside, cavity=cavity, things=things, meetings=(touch,), width_m=0.1)


FIELD = (np.array([[-400.0, -300.0], [500.0, -300.0], [500.0, 400.0], [-400.0, 400.0]]),)
SHARES = (
    Sensitivity(
        draw=Uncertain(kind=Drawn.OTHER, of="drag coefficient of the main canopy"),
        share=0.6,
        low=0.5,
        high=0.7,
        alone=0.55,
    ),
    Sensitivity(draw=Uncertain(kind=Drawn.OTHER, of="main.cd"), share=0.25, low=0.15, high=0.35, alone=0.2),
    Sensitivity(draw=Uncertain(kind=Drawn.RAIL_TILT), share=0.05, low=0.01, high=0.1, alone=0.05),
)


def every_picture(readiness, us: bool) -> dict[str, str]:
    fins, cases = fin(), readiness.strength.cases
    points = landings()
    return {
        "inside": inside_section(insides(readiness), (), us_units=us, roll_rad=0.0),
        **pictures(replace(readiness, us_units=us)),
        **air_pictures(replace(readiness, us_units=us)),
        **flight_pictures(replace(readiness, us_units=us)),
        "landings": campaign_landings(points, landing_ellipse(points), FIELD, us_units=us),
        "shares": campaign_shares("apogee", SHARES),
        "spread": campaign_spread(np.linspace(400.0, 600.0, 500) ** 1.01, "apogee, m", 500.0),
        "tracks": campaign_tracks((readiness.flight.trace,), us_units=us),
        "opening": opening_over_time(canopy(), us_units=us),
        "pressure": pressure_over_time(bay(), us_units=us),
        "tension": tension_over_time(cord(), us_units=us),
        "zipper": margin_over_events(cord()),
        "front": size_front(trade(), 2, us_units=us),
        "fin-modes": fin_modes_picture(fins),
        "fin-sweep": fin_sweep_picture(fins, us_units=us),
        "fin-envelope": fin_envelope_picture(fins, us_units=us),
        "fin-stays": fin_before_and_after(fins, fins.bare, fins.held, us_units=us),
        "strength-loads": strength_loads(cases, us_units=us),
        "reserves": reserves_by_station(station_reserves(), 1.5, length_m=1.2, us_units=us),
        "rods": walls_with_and_without_rods(share_rows(), 1.5),
    }


@pytest.fixture(scope="session")
def drawn(readiness) -> dict[str, str]:
    """SVG text of every picture that Finial draws, metric, by name."""
    return every_picture(readiness, False)


@pytest.fixture(scope="session")
def drawn_us(readiness) -> dict[str, str]:
    """The same pictures with US units."""
    return every_picture(readiness, True)


@pytest.fixture(scope="session")
def invented() -> SimpleNamespace:
    """The records that the pictures were drawn of."""
    return SimpleNamespace(
        canopy=canopy(),
        bay=bay(),
        cord=cord(),
        fin=fin(),
        shares=share_rows(),
        reserves=station_reserves(),
        trade=trade(),
        landings=landings(),
        field=FIELD,
        parts=SHARES,
    )
