"""Results of studies in round numbers: pictures and pages of them can be worked out by hand."""

import math
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import numpy as np
import shapely
from unsaid import nothing_inside

from finial.assemble.air.results import TunnelRow
from finial.assemble.electronics.results import (
    BackupTimer,
    FeltLiftOff,
    FiredHeight,
    PortStudy,
    SensedTop,
    Sensing,
)
from finial.assemble.inside.results import GuideCheck, InsideResult, Meeting
from finial.assemble.strength.results import CaseLoads, StationReserves
from finial.campaign.answers import CampaignAnswer, Decided, ResultScatter
from finial.core.estimates import Estimate, KnownBy, exact
from finial.findings.design_whole import Confirmed
from finial.findings.finding import Verdict
from finial.flight.trace import EventKind, FlightEvent
from finial.inside.cavity import Cavity
from finial.inside.rail import RailLine
from finial.inside.things import Kind, Thing
from finial.sizing.found_front import FrontRow
from finial.sizing.judged import Judged
from finial.sizing.misses import Miss
from finial.sizing.scale import ScaledModel
from finial.sizing.search import Found, Search
from finial.sizing.variables import Variable
from finial.structure.loads.case import Case, Load
from finial.structure.reserves import FailureMode


def guess(value: float, low: float, high: float) -> Estimate:
    return Estimate(value=value, low=low, high=high, known_by=KnownBy.COMPUTED, method="", source="invented")


def searched() -> tuple[Found, Search]:
    """Three designs of a ballast and of two motors; the lightest goes."""
    asked = Search(
        variables=(
            Variable(kind="ballast", name="lead", low=0.0, high=2.0),
            Variable(kind="span", name="fins", low=0.8, high=1.2),
            Variable(kind="motor", name="", low=0.0, high=1.0, choices=("long K", "short K")),
        )
    )
    judged = (
        Judged(mass_kg=5.0, missing=0.0, is_go=True, apogee_m=800.0),
        Judged(mass_kg=6.0, missing=0.25, is_go=False, apogee_m=900.0),
        Judged(mass_kg=8.0, missing=0.0, is_go=True, apogee_m=1000.0),
    )
    points = ((0.5, 0.9, 0.0), (1.0, 1.0, 1.0), (2.0, 1.15, 1.0))
    rows = tuple(FrontRow(point=point, judged=one) for point, one in zip(points, judged, strict=True))
    misses = (
        Miss(point=(0.55, 0.9, 0.0), sought=0.012, missing=0.02, is_better=False),
        Miss(point=(1.9, 1.12, 1.0), sought=0.3, missing=0.5, is_better=True),
    )
    known = {row.point: row.judged for row in rows}
    counts = {"judged_designs": 40, "left_out": 7}
    return Found(point=points[0], judged=judged[0], front=rows, known=known, misses=misses, **counts), asked


def looked_whole(found: Found) -> Confirmed:
    """Say that the lightest goes with cautions, and that the heaviest is not known."""
    rows = found.front or (FrontRow(point=found.point, judged=found.judged),)
    points = (0.5, 0.9, 0.0), (2.0, 1.15, 1.0)
    return Confirmed(
        best=rows[0], verdicts=dict(zip(points, (Verdict.CAUTION, Verdict.NOT_KNOWN), strict=True))
    )


def flown(found: Found) -> Found:
    """Return the same with odds: 99, 80 and 97.5 %."""
    rows = tuple(
        replace(row, judged=replace(row.judged, odds=odds))
        for row, odds in zip(found.front, (0.99, 0.8, 0.975), strict=True)
    )
    return replace(found, judged=rows[0].judged, front=rows)


def tunnel_row(
    angle_deg: float,
    roll_deg: float,
    place: Estimate | None,
    sections: tuple[float, float, float] | None = (0.6, 0.7, 0.8),
) -> TunnelRow:
    return TunnelRow(
        angle_rad=math.radians(angle_deg),
        roll_rad=math.radians(roll_deg),
        force=guess(0.5, 0.4, 0.6),
        place=place,
        axial=guess(0.8, 0.7, 0.9),
        aside=guess(0.0, -0.01, 0.01),
        pressure_axial=0.6,
        force_read=0.52,
        section_share=0.012,
        reynolds=8000.0,
        cells=16.0,
        coarse_cells=12.0,
        restarts=0,
        sections_force=0.55,
        sections_axial=0.9,
        sections_place_m=sections,
        parts_most_m=None,
    )


def tunnel_rows() -> tuple[TunnelRow, ...]:
    """At two rolls: one that meets the sections, one ahead of them, one without a place; five rolls more."""
    return (
        tunnel_row(5.0, 0.0, guess(0.72, 0.70, 0.75)),
        tunnel_row(10.0, 0.0, guess(0.5, 0.45, 0.55)),
        tunnel_row(15.0, 0.0, None, (0.62, 0.74, 0.9)),
        tunnel_row(10.0, 45.0, guess(0.8, 0.78, 0.82), None),
        tunnel_row(20.0, 45.0, None, None),
        *(tunnel_row(10.0, roll, guess(0.7, 0.69, 0.71)) for roll in (15.0, 60.0, 90.0)),
    )


def short_flight() -> Any:
    """Up to 80 m in 4 s and down in 8 s, sampled each second; 2 g felt for two seconds."""
    times = np.arange(13.0)
    height = np.interp(times, [0.0, 4.0, 12.0], [0.0, 80.0, 0.0])
    speed = np.where(times <= 4, 20.0, -10.0)
    felt = np.where(times <= 2, 19.6133, 0.0)
    zero = np.zeros(13)
    when = (
        (EventKind.LIFT_OFF, "", 0.0),
        (EventKind.RAIL_EXIT, "", 0.2),
        (EventKind.BURNOUT, "", 0.3),
        (EventKind.OUT, "drogue", 0.4),
        (EventKind.APOGEE, "", 4.0),
        (EventKind.OUT, "main with a very long name indeed", 4.6),
        (EventKind.GROUND, "", 12.0),
    )
    events = tuple(
        FlightEvent(kind=kind, canopy=canopy, time_s=time, height_agl_m=0.0, speed_m_s=0.0)
        for kind, canopy, time in when
    )

    def event(kind: EventKind) -> FlightEvent | None:
        return next((one for one in events if one.kind is kind), None)

    return SimpleNamespace(
        times_s=times,
        positions_m=np.stack([zero, zero, height], axis=1),
        velocities_m_s=np.stack([zero, 0.6 * speed, 0.8 * speed], axis=1),
        accelerations_m_s2=np.stack([0.6 * felt, 0.8 * felt, zero], axis=1),
        events=events,
        ended="ground",
        event=event,
    )


def _box(half: float) -> Any:
    return shapely.box(-half, -half, half, half)


def inside_on_rail(length_m: float = 0.6, side: float = 1.0) -> InsideResult:
    """A box 100 mm wide, 60 mm above half its length, walls of 5 mm; what stands in it, and a rail beside."""
    stations = np.linspace(0.0, length_m, 7)
    halves = [0.03, 0.03, 0.03, 0.05, 0.05, 0.05, 0.05]
    skin = np.array([_box(half) for half in halves], dtype=object)
    walls = [_box(half).difference(_box(half - 0.005)) for half in halves]
    nothing = shapely.Polygon()
    printed = np.array(
        [
            [*walls[:3], nothing, nothing, nothing, nothing],
            [nothing, nothing, nothing, *walls[3:]],
        ],
        dtype=object,
    )
    cavity = Cavity(
        stations_m=stations,
        length_m=length_m,
        parts=(),
        skin=skin,
        printed=printed,
        free=np.array([_box(half - 0.005) for half in halves], dtype=object),
        free_edge=skin,
        skin_edge=skin,
    )
    away: dict[str, Any] = {"offset_m": (0.0, 0.03)}
    screw: dict[str, Any] = {"length_m": 0.03, "across_m": 0.005, "tilt_rad": math.pi / 2}
    things = (
        Thing(name="bay", kind=Kind.BAY, middle_m=0.15, length_m=0.2, across_m=0.04),
        Thing(name="pack", kind=Kind.PACK, middle_m=0.12, length_m=0.08, across_m=0.03, lies_in="bay"),
        Thing(name="motor", kind=Kind.MOTOR, middle_m=0.45, length_m=0.2, across_m=0.038),
        Thing(name="rod", kind=Kind.ROD, middle_m=0.35, length_m=0.4, across_m=0.006, **away),
        Thing(name="rod", kind=Kind.ROD, middle_m=0.35, length_m=0.4, across_m=0.006, offset_m=(0.0, -0.03)),
        Thing(name="nut", kind=Kind.NUT, middle_m=0.56, length_m=0.01, across_m=0.012, **away),
        *(
            Thing(name="button screw", kind=Kind.SCREW, middle_m=at, offset_m=(side * 0.04, 0.0), **screw)
            for at in (0.3, 0.5)
        ),
        Thing(name="lead", kind=Kind.BALLAST, middle_m=0.01, length_m=0.04, across_m=0.03),
    )
    meetings = (
        Meeting(first="motor", second="rod", gap=exact(-0.002), station_m=0.4, with_part=False),
        Meeting(first="lead", second="nose", gap=exact(-0.001), station_m=0.02, with_part=True),
        Meeting(first="ghost", second="tail", gap=exact(-0.003), station_m=0.5, with_part=True),
        Meeting(first="pack", second="bay", gap=exact(0.001), station_m=0.1, with_part=False),
        Meeting(
            first="bay", second="tail", gap=exact(-0.001), station_m=0.2, with_part=True, allowed_m=0.001
        ),
    )
    guide = GuideCheck(
        rail=RailLine(roll_rad=0.0 if side > 0 else math.pi, face_m=0.06, width_m=0.03),
        body=exact(0.01),
        body_station_m=0.4,
        fins=None,
        fins_name="",
        roots=None,
        roots_name="",
        roots_station_m=0.0,
        spacing_m=0.2,
        fore_m=0.3,
        aft_m=0.5,
        balance=exact(0.35),
        in_the_air_m=(),
        across_m=0.016,
        reach=exact(0.008),
        foot=None,
    )
    return replace(
        nothing_inside(), cavity=cavity, things=things, meetings=meetings, guide=guide, width_m=0.1
    )


def sensing() -> Sensing:
    """One set of ports described and one not; heights, a clock, a top and a lift-off that was felt."""
    return Sensing(
        ports=(
            PortStudy(
                port="ring",
                computers=("first", "second"),
                holes=3,
                area=exact(3e-5),
                least_area_m2=2e-5,
                coefficient=guess(-0.1, -0.2, 0.05),
                lag_m=4.0,
                early_fall=guess(6.0, 3.0, 9.0),
            ),
            PortStudy(port="hole", computers=("third",)),
            PortStudy(
                port="slot",
                computers=("fourth",),
                holes=1,
                area=exact(1e-5),
                least_area_m2=2e-5,
                coefficient=guess(0.0, -0.1, 0.1),
                from_tunnel=True,
                lag_m=12.0,
                early_fall=None,
            ),
        ),
        fired=(
            FiredHeight(igniter="main", computer="first", set_m=150.0, true=guess(140.0, 120.0, 155.0)),
            FiredHeight(igniter="spare", computer="third", set_m=100.0, true=None),
        ),
        felt_lift_off=(
            FeltLiftOff(
                computer="first",
                held_level=guess(60.0, 50.0, 70.0),
                asked_m_s2=29.41995,
                over=guess(30.0, 29.0, 31.0),
                held=guess(1.2, 1.0, 1.4),
                longest_knock_s=0.05,
            ),
            FeltLiftOff(
                computer="third",
                held_level=guess(9.80665, 9.0, 10.0),
                asked_m_s2=9.80665,
                over=guess(9.80665, 9.0, 10.0),
                held=guess(0.5, 0.4, 0.6),
                longest_knock_s=math.inf,
            ),
        ),
        timers=(
            BackupTimer(
                igniter="late",
                set_s=12.0,
                fires=guess(12.1, 12.0, 12.3),
                after_top=guess(1.5, 0.5, 2.5),
                earliest_top_s=9.75,
                latest_top_s=11.5,
                campaign=1000,
            ),
            BackupTimer(
                igniter="later",
                set_s=15.0,
                fires=guess(15.0, 14.9, 15.2),
                after_top=guess(4.0, 3.0, 5.0),
                earliest_top_s=10.0,
                latest_top_s=11.0,
            ),
        ),
        tops=(
            SensedTop(
                computer="first", port="ring", canopies=("drogue", "main"), after_top=guess(0.4, 0.1, 0.9)
            ),
            SensedTop(computer="third", port="", canopies=("drogue",), after_top=None),
        ),
    )


def models() -> tuple[ScaledModel, ScaledModel]:
    """A model 1 m high with a motor of its own, and one twice as high that nothing lifts."""
    first = ScaledModel(
        height_m=1.0,
        scale=0.02,
        dry_kg=guess(3.0, 2.8, 3.3),
        lift_off_kg=guess(4.0, 3.6, 4.5),
        impulse_ns=guess(600.0, 500.0, 700.0),
        letters=("I", "J"),
        motor="long J",
        thrust_to_weight=guess(7.0, 6.0, 8.0),
        rail_speed=guess(18.0, 16.0, 20.0),
        pieces=6,
        print_time_s=guess(36000.0, 30000.0, 45000.0),
        margin_m=guess(0.1, 0.05, 0.2),
        margin_widths=guess(0.8, 0.4, 1.6),
    )
    second = replace(
        first,
        height_m=2.0,
        scale=0.04,
        lift_off_kg=guess(20.0, 18.0, 24.0),
        letters=("L", "L"),
        motor=None,
        thrust_to_weight=None,
        rail_speed=None,
        pieces=None,
        print_time_s=None,
    )
    return first, second


def judged_stations() -> StationReserves:
    """1.25 at 0.1 m, 3 at 0.3 m without a mode that is named, nothing known at 0.5 m."""
    return StationReserves(
        stations_m=np.array([0.1, 0.3, 0.5]),
        reserves=np.array([1.25, 3.0, math.nan]),
        modes=(FailureMode.ROD_PULLED, None, None),
        cases=(Case(load=Load.RAIL_WIND), Case(load=Load.MAX_THRUST), None),
    )


def loaded() -> tuple[CaseLoads, ...]:
    """A whole body of 0.6 m, loads that grow with the station, and a half that begins at 0.4 m."""
    return tuple(
        CaseLoads(
            case=Case(load=load),
            stations_m=stations,
            axial_n=1000.0 * stations,
            shear_n=-50.0 * stations,
            bending_n_m=10.0 * stations,
            torsion_n_m=0.0 * stations,
        )
        for load, stations in (
            (Load.MAX_THRUST, np.array([0.0, 0.6])),
            (Load.RAIL_WIND, np.array([0.4, 0.6])),
        )
    )


def campaign(causes: tuple[Any, ...]) -> CampaignAnswer:
    """Return an answer with what decides two of its results, and a third of which nothing is known."""
    return CampaignAnswer(
        flights=60,
        design="plain",
        seed=7,
        rounding="processors",
        scatters=(
            ResultScatter(key="apogee_m", name="apogee above ground", flights=60, mean=450.0, quantiles=()),
        ),
        odds=(),
        unasked=(),
        rare=(),
        ellipse=None,
        failures=(),
        decided={
            "apogee_m": Decided(causes=causes, missed=0.1),
            "rail_exit_speed_m_s": Decided(causes=causes, missed=0.1),
            "drift_m": Decided(causes=(), missed=1.0),
        },
    )
