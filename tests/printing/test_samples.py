"""Test pieces: sizes by hand, and every one sound once it is a file."""

import csv
import math

import pytest
from solids import read_back

from finial.core.errors import OutsideRange
from finial.printing.joints import Dowels
from finial.printing.samples import (
    clearance_gauge,
    cube,
    joint_halves,
    pull_bar,
    strip_holder,
)
from finial.printing.sound import sound


def test_a_cube_of_eight_cubic_centimetres() -> None:
    assert cube().volume() == pytest.approx(8e-6)


def test_the_neck_of_a_bar_is_6_by_4_millimetres_and_its_thinnest_place() -> None:
    """Amid its length, and nowhere less: the force is divided by 24 mm2."""
    bar = pull_bar().rotate((0.0, -90.0, 0.0))
    low, high = bar.bounding_box()[2], bar.bounding_box()[5]
    assert high - low == pytest.approx(0.1)
    areas = [
        bar.slice(low + share * (high - low)).area() * 1e6 for share in (0.02, 0.2, 0.35, 0.5, 0.65, 0.98)
    ]
    assert areas[3] == pytest.approx(24.0, rel=1e-6)
    assert min(areas) == pytest.approx(24.0, rel=1e-6)
    assert areas[0] == areas[-1] == pytest.approx(64.0)


def test_a_joint_sample_has_the_face_that_its_words_say() -> None:
    half, other = joint_halves(Dowels(count=4, diameter_m=5e-3, depth_m=12e-3), 1.2e-3, 0.3e-3)
    face = half.slice(half.bounding_box()[5] - 1e-4).area()
    holes = 2 * 48 / 2 * (2.65e-3) ** 2 * math.sin(math.tau / 48)
    assert face == pytest.approx(40e-3 * 30e-3 - holes, rel=1e-6)
    assert half.volume() == other.volume()
    bare, _ = joint_halves(None, 1.2e-3, 0.3e-3)
    assert bare.slice(0.0249).area() == pytest.approx(1.2e-3)
    with pytest.raises(OutsideRange, match="do not fit"):
        joint_halves(Dowels(count=4, diameter_m=20e-3, depth_m=12e-3), 1.2e-3, 0.3e-3)


def test_a_gauge_has_a_hole_for_each_step_and_as_many_notches() -> None:
    gauge = clearance_gauge(0.008, (0.0, 0.2e-3))
    plane = gauge.slice(0.003)
    holes = sorted(abs(loop.area()) for loop in _holes(plane))
    wanted = [48 * (d / 2) ** 2 * math.tan(math.pi / 48) for d in (8.0e-3, 8.2e-3)]
    assert holes == pytest.approx(wanted, rel=1e-6)
    solid = 2 * 16e-3 * 22e-3 * 6e-3 - sum(wanted) * 6e-3
    assert gauge.volume() == pytest.approx(solid - 3 * 1e-3 * 1.5e-3 * 6e-3, rel=1e-6)


def _holes(section):
    import shapely

    polygons = [shapely.Polygon(loop) for loop in section.to_polygons()]
    outer = max(polygons, key=lambda one: one.area)
    return [_Hole(one.area) for one in polygons if one is not outer]


class _Hole:
    def __init__(self, area: float) -> None:
        self._area = area

    def area(self) -> float:
        return self._area


def test_a_holder_takes_the_strip() -> None:
    """Slot of 41 x 25.3 mm, 6.8 mm high, in a block of 55 x 41 x 30.8 mm."""
    block = 55e-3 * 41e-3 * 30.8e-3
    assert strip_holder(6.5e-3, 0.3e-3).volume() == pytest.approx(block - 40e-3 * 25.3e-3 * 6.8e-3, rel=1e-6)


@pytest.mark.parametrize(
    "make", [cube, pull_bar, lambda: clearance_gauge(0.006), lambda: strip_holder(4e-3, 0.2e-3)]
)
def test_every_piece_read_back_is_closed(make) -> None:
    """Read by trimesh, a library of others."""
    _, other = read_back(sound(make().scale((1e3, 1e3, 1e3)), "piece"))
    assert other.is_watertight
    assert other.body_count == 1


def test_the_pieces_of_a_sheet_name_their_places_in_it() -> None:
    from pathlib import Path

    from finial.assemble.prints.samples import SampleKind, samples
    from finial.files.sheet_rows import BUILD_SHEET, rows_of
    from finial.findings.check import load_begun
    from finial.report.samples_text import TABLE, is_sample_file, sample_files
    from finial.report.shown import Shown

    examples = Path(__file__).parents[2] / "examples"
    every = tuple(samples(load_begun(examples / "every-key" / "every-key.toml")))
    keys = {row.dotted for row in rows_of(BUILD_SHEET)}
    assert {one.place for one in every} <= keys
    assert {one.kind for one in every} == set(SampleKind)
    files = sample_files(every, Shown(us_units=False))
    assert all(map(is_sample_file, files))
    rows = list(csv.DictReader(files[TABLE].decode().splitlines()))
    assert [row["file"] for row in rows] == [name for name in files if name != TABLE]
    assert all(row["enter_under"] and not row["result"] for row in rows)


def test_what_to_do_is_told_in_the_builders_units() -> None:
    """A neck of 6 by 4 mm and a cube of 20 mm by hand: 24 mm2 are 0.0372 in2, 8 cm3 are 0.488 in3."""
    from finial.assemble.prints.samples import SampleKind
    from finial.report.samples_text import what_to_do
    from finial.report.shown import Shown

    metric, inches = Shown(us_units=False), Shown(us_units=True)
    assert "force / 24 mm2" in what_to_do(SampleKind.BAR_ALONG, metric)
    assert "force / 0.0372 in2" in what_to_do(SampleKind.BAR_ACROSS, inches)
    assert "mass / 8 cm3" in what_to_do(SampleKind.CUBE, metric)
    for kind in SampleKind:
        assert not any(unit in what_to_do(kind, inches) for unit in (" mm", " cm")), kind
