"""A lopsided body: each roll angle has its own sign, and the slope's interval still holds its value."""

import numpy as np
from shapely.geometry import Polygon

from finial.aero.band.band import _at_end, pressure_band
from finial.aero.band.load_parts import DoubtfulForce
from finial.aero.body import body_air
from finial.aero.fins.on_body import fin_air
from finial.aero.sections.outlines import regular_polygon, section_of, skin_of
from finial.shape.fin_set import FinSet

OCTAGON = regular_polygon(8, 0.14)
BOX = np.array([[0.0, -0.02], [0.17, -0.02], [0.17, 0.02], [0.0, 0.02]])
STATIONS = ((0.0, 0.02), (0.2, 1.0), (0.4, 1.0), (0.52, 1.0), (1.05, 1.0))


def lopsided_skin():
    """Return an octagon with a box on one side over a stretch of its length."""
    both = np.asarray(Polygon(OCTAGON).union(Polygon(BOX)).exterior.coords)[-2::-1]
    boxed = [section_of(station, [both]) for station in (0.401, 0.519)]
    plain = [section_of(station, [OCTAGON * size]) for station, size in STATIONS]
    return skin_of(sorted([*boxed, *plain], key=lambda section: section.station_m))


def test_the_slopes_interval_holds_its_value_at_every_roll() -> None:
    body = body_air(lopsided_skin())
    fins = FinSet(
        name="fins",
        outline_m=np.array([[0.0, 0.0], [0.1, 0.15], [0.2, 0.15], [0.2, 0.0]]),
        station_m=0.84,
        root_radius_m=0.07,
        count=4,
        first_at_rad=0.3,
        thickness_m=0.005,
    )
    rolls = np.radians(np.arange(0.0, 360.0, 15.0))
    band = pressure_band(body, fin_air(body, [fins]), np.radians([0.0, 5.0]), rolls)
    for slope in (band.slope, band.bare_slope):
        assert slope.low <= slope.value <= slope.high
    assert band.slope.value > band.bare_slope.value


def test_a_part_that_changes_sign_with_roll_takes_its_end_roll_by_roll() -> None:
    mixed = np.array([[3.0, -1.0]])
    part = DoubtfulForce(name="step", force=mixed, moment=mixed, low=0.5, central=1.0, high=1.5)
    least, centre, most = (_slope_end(part, end).tolist() for end in range(3))
    assert (least, centre, most) == ([1.5, -1.5], [3.0, -1.0], [4.5, -0.5])


def _slope_end(part: DoubtfulForce, end: int) -> np.ndarray:
    return _at_end(part, end) * part.force[0]
