"""Small scenes whose pictures can be measured by hand: round numbers, few marks."""

import math
from types import SimpleNamespace

import numpy as np
import shapely

from finial.assemble.vehicle.field import MarkOnField
from finial.campaign.landing import Ellipse
from finial.campaign.spot import Crowd, Spot
from finial.core.estimates import Estimate, KnownBy
from finial.files.flight_log.curves import FlightCurves, KeptCurves, KeptEvent
from finial.files.geojson import MarkKind
from finial.findings.landing_map import LandingMap
from finial.inside.things import Kind, Thing
from finial.report.drawings.shapes import Circle, Drawing, DrawnOutline, Ink, Label
from finial.shape.fin_set import FinSet
from finial.shape.mesh import Mesh
from finial.sizing.region import GoRegion

BOX_FACES = np.array(
    [
        *([0, 2, 1], [0, 3, 2], [4, 5, 6], [4, 6, 7]),
        *([0, 1, 5], [0, 5, 4], [1, 2, 6], [1, 6, 5]),
        *([2, 3, 7], [2, 7, 6], [3, 0, 4], [3, 4, 7]),
    ]
)


def box_corners(low, high):
    (x, y, z), (x_to, y_to, z_to) = low, high
    foot = [(x, y), (x_to, y), (x_to, y_to), (x, y_to)]
    return np.array([[a, b, c] for c in (z, z_to) for a, b in foot])


def guess(value, low, high):
    return Estimate(value=value, low=low, high=high, known_by=KnownBy.COMPUTED, method="", source="invented")


def net():
    """Spans 80, 100, 120 %; ballast 0, 1, 2 and 3 kg: what goes is one cell and the two beside it."""
    return GoRegion(
        variables=(None, None),
        first=np.array([0.8, 1.0, 1.2]),
        second=np.array([0.0, 1.0, 2.0, 3.0]),
        missing=np.array([[2.0, 0.5, 0.25, 0.1], [1.0, 0.0, 0.0, 0.3], [0.75, 0.0, 0.2, 0.4]]),
        mass_kg=np.array([[5.0, 6.0, 7.0, 8.0], [5.1, 6.1, 7.1, 8.1], [5.2, 6.2, 7.2, np.nan]]),
        is_go=np.array(
            [[False, False, False, False], [False, True, True, False], [False, True, False, False]]
        ),
    )


def tower_parts():
    """A foot 100 mm wide and 40 mm high, a shaft 60 mm wide up to 240 mm."""
    return tuple(
        SimpleNamespace(
            name=name,
            heights_m=heights,
            sides_m=(wide, wide),
            sound=SimpleNamespace(
                vertices_mm=1e3
                * box_corners((-wide / 2, -wide / 2, heights[0]), (wide / 2, wide / 2, heights[1])),
                faces=BOX_FACES,
            ),
        )
        for name, heights, wide in (("foot", (0.0, 0.04), 0.1), ("shaft", (0.04, 0.24), 0.06))
    )


def cut_across():
    """A tube 100 mm wide with a motor at its axis and two rods beside it, cut at three stations."""
    skin, room = shapely.box(-0.05, -0.05, 0.05, 0.05), shapely.box(-0.04, -0.04, 0.04, 0.04)
    rods = [(0.02, 0.02), (-0.02, -0.02)]
    return SimpleNamespace(
        cavity=SimpleNamespace(
            stations_m=np.array([0.1, 0.2, 0.3]),
            skin=np.array([skin] * 3),
            printed=np.array([[skin.difference(room)] * 3]),
        ),
        things=(
            *(
                Thing(name="rod", kind=Kind.ROD, middle_m=0.2, length_m=0.15, across_m=0.006, offset_m=at)
                for at in rods
            ),
            Thing(name="motor", kind=Kind.MOTOR, middle_m=0.25, length_m=0.2, across_m=0.03),
            Thing(name="far off", kind=Kind.BALLAST, middle_m=0.9, length_m=0.01, across_m=0.01),
        ),
    )


def plate_fins():
    """Two plates, 6 mm thick, 60 mm out from a root 50 mm off the axis; the edge slopes 45 degrees."""
    return FinSet(
        name="plates",
        outline_m=np.array([[0.0, 0.0], [0.06, 0.06], [0.12, 0.06], [0.12, 0.0]]),
        station_m=0.17,
        root_radius_m=0.05,
        count=2,
        first_at_rad=0.0,
        thickness_m=0.006,
    )


def print_plan(us_units=False):
    """Two boxes end to end, the aft one cut along in two halves."""
    boxes = (
        ("nose", (1, 1), (0.0, 0.1), ((-0.1, -0.02, -0.02), (0.0, 0.02, 0.02))),
        ("tail", (1, 2), (0.1, 0.2), ((-0.2, 0.0, -0.02), (-0.1, 0.02, 0.02))),
        ("tail", (2, 2), (0.1, 0.2), ((-0.2, -0.02, -0.02), (-0.1, 0.0, 0.02))),
    )
    pieces = [
        SimpleNamespace(
            number=number,
            part=part,
            within=within,
            span_m=span,
            mesh=Mesh(vertices_m=box_corners(*ends), faces=BOX_FACES),
            lying=SimpleNamespace(size_m=(0.04, 0.02, 0.1)),
            effort=SimpleNamespace(mass=guess(0.05 * number, 0.04, 0.2)),
        )
        for number, (part, within, span, ends) in enumerate(boxes, start=1)
    ]
    return SimpleNamespace(name="two boxes", us_units=us_units, pieces=tuple(pieces))


def plate_drawing(scale=1):
    return Drawing(
        name="plate",
        title="plate",
        shapes=(
            DrawnOutline(points=((0.0, 0.0), (200.0, 0.0), (200.0, 50.0), (0.0, 50.0))),
            DrawnOutline(points=((0.0, 25.0), (200.0, 25.0)), ink=Ink.FOLD, closed=False),
            DrawnOutline(points=((10.0, 5.0), (20.0, 9.0), (30.0, 5.0)), ink=Ink.MARK, closed=False),
            Circle(middle=(100.0, 30.0), diameter=8.0),
            Label(text="root", at=(100.0, 10.0), anchor="middle"),
        ),
        said=("Plate of the tests.", "Cut it twice."),
        scale=scale,
    )


def field_of_day(*, us_units=False, bounded=False):
    """Pad in the middle, flights down to the north-east, people in the south, a road in the west."""
    square = np.array([[-20.0, -20.0], [20.0, -20.0], [20.0, 20.0], [-20.0, 20.0]])
    marks = (
        MarkOnField(
            kind=MarkKind.TREES, name="one tree", rings_m=(np.array([[-100.0, 200.0]]),), is_area=False
        ),
        MarkOnField(
            kind=MarkKind.ROAD,
            name="",
            rings_m=(np.array([[-300.0, -900.0], [-300.0, 100.0]]),),
            is_area=False,
        ),
        MarkOnField(
            kind=MarkKind.BUILDING, name="barn", rings_m=(square + np.array([200.0, 0.0]),), is_area=True
        ),
    )
    landings = np.array([[100.0, 200.0], [140.0, 180.0], [60.0, 220.0], [100.0, 200.0]])
    outline = np.array([[-400.0, -400.0], [400.0, -400.0], [400.0, 400.0], [-400.0, 400.0]])
    return LandingMap(
        name="small field",
        us_units=us_units,
        pad_rad=None,
        spot=Spot(
            field_radius_m=None if bounded else 360.0,
            field_m=(outline,) if bounded else None,
            crowd=Crowd(near_m=100.0, deep_m=30.0, bearing_rad=math.pi, across_m=80.0),
        ),
        marks=marks,
        minimum_m=90.0,
        wind_m_s=4.0,
        wind_from_rad=math.radians(210.0),
        landings_m=landings,
        bare_m=None if bounded else -landings / 2,
        ellipse=None
        if bounded
        else Ellipse(
            nominal=0.95,
            held=0.925,
            kurtosis=8.0,
            centre_m=(100.0, 200.0),
            half_axes_m=(60.0, 20.0),
            bearing_rad=math.pi / 2,
        ),
    )


def kept_curves():
    """Up to 100 m in 4 s and down again in 4 s; felt 3 g, then nothing."""
    times = np.linspace(-1.0, 8.0, 19)
    height = np.interp(times, [0.0, 4.0, 8.0], [0.0, 100.0, 0.0])
    climb = np.where((times >= 0) & (times < 4), 25.0, np.where(times < 0, 0.0, -25.0))
    push = np.where(times < 2, 29.41995, 0.0)

    def scaled(by):
        return FlightCurves(height_m=by * height, climb_m_s=by * climb, push_m_s2=by * push)

    gone = FlightCurves(
        height_m=0.8 * height, climb_m_s=np.full(19, np.nan), push_m_s2=np.where(times > 6, np.nan, push)
    )
    return KeptCurves(
        times_s=times,
        log=scaled(1.0),
        predicted=scaled(1.1),
        corrected=gone,
        events=(
            KeptEvent(kind="lift-off", time_s=0.0),
            KeptEvent(kind="apogee", time_s=4.0),
            KeptEvent(kind="landing", time_s=9.0),
        ),
    )


def drift_flight():
    """Lands 120 m east and 160 m north of the pad, 200 m from it."""
    track = np.array([[0.0, 0.0, 0.0], [30.0, 90.0, 300.0], [120.0, 160.0, 0.0]])
    return SimpleNamespace(
        landing_east_m=120.0,
        landing_north_m=160.0,
        drift=guess(200.0, 150.0, 260.0),
        trace=SimpleNamespace(positions_m=track),
    )


def tunnel_run(cells, scale=1.0):
    """Three slices of 0.1, 0.1 and 0.2 m; the cross wind is the third column."""
    return SimpleNamespace(
        stations_m=(0.0, 0.1, 0.2, 0.4),
        along=tuple((0.0, 9.0, scale * force) for force in (0.2, -0.1, 0.4)),
        roll_rad=math.pi / 2,
        width_m=0.08,
        cells=cells,
    )


def kept_run():
    """Samples over 20 widths that swing about 0.5 along the wind and 0.8 along the axis."""
    swing = 0.1 * np.sin(np.arange(42) * math.pi / 4)
    history = np.column_stack([0.8 + swing / 2, np.full(42, 9.0), 0.5 + swing, *np.zeros((3, 42))])
    places = [
        (0.005, 0.005),
        (0.015, 0.005),
        (0.025, 0.005),
        (0.005, -0.005),
        (0.015, -0.005),
        (0.025, -0.005),
    ]
    near = [(x, y, -0.01) for x, y in places] + [
        (0.015, 0.005, -0.008),
        (0.015, 0.005, 0.01),
        (0.025, 0.015, 0.0),
    ]
    return SimpleNamespace(
        told=SimpleNamespace(roll_rad=math.pi / 2, width_m=0.08, cells=8.0),
        history=history,
        history_widths=np.linspace(10.0, 30.5, 42),
        places_m=np.array(near),
        pressures=np.array([1.0, 0.2, -0.05, 0.6, -0.3, -2.0, 0.5, 9.0, -1.0]),
    )
