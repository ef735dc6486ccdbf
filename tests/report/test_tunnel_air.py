"""Air on planes in words, numbers and pictures."""

import math
import re
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from tunnel_solver import made_up_flow

from finial.report.csv_text import table_csv
from finial.report.flow_words import (
    AIR_EDGES,
    AIR_WORDS,
    SPEED_EDGES,
    SPEED_WORDS,
    WAKE,
    flow_sentence,
    flow_table,
    moments_table,
    plane_words,
    wake_m,
)
from finial.report.pictures.drawn_air import drawn_moments, drawn_plane
from finial.report.pictures.iso_bands import STEP, filled, iso_bands
from finial.report.pictures.shades import BANDS
from finial.report.pictures.tunnel_air import tunnel_air, tunnel_moments
from finial.report.shown import Shown
from finial.tunnel_study.flows import FlowTold, KeptFlow

METRIC = Shown(us_units=False)
WIDTH_M = 0.15


def a_flow(angle_deg: float = 10.0, roll_deg: float = 0.0, *, cells: float = 10.0) -> KeptFlow:
    """A square post 0.9 m long; behind it still air for 150 mm."""
    flow = made_up_flow(math.radians(angle_deg), math.radians(roll_deg), WIDTH_M)
    told = FlowTold(
        shape="0" * 32, bare=False, angle_rad=math.radians(angle_deg), roll_rad=math.radians(roll_deg),
        cells=cells, width_m=WIDTH_M, travel_widths=24.0, moments=len(flow.moments),
    )  # fmt: skip
    return KeptFlow(told=told, flow=flow)


def area(path: str) -> float:
    """Area that a path of straight lines encloses, in squares between nodes."""
    total = 0.0
    for piece in filter(None, path.split("z")):
        x = y = 0
        points: list[tuple[int, int]] = []
        for letter, told in re.findall(r"([MLHVhv])([-\d ]+)", piece):
            numbers = [int(one) for one in told.split()]
            if letter in "ML":
                x, y = numbers
            elif letter in "Hh":
                x = numbers[0] if letter == "H" else x + numbers[0]
            else:
                y = numbers[0] if letter == "V" else y + numbers[0]
            points.append((x, y))
        total += abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in pairwise([*points, points[0]]))) / 2
    return total / STEP**2


def test_bands_enclose_what_reaches_their_edge():
    at = np.linspace(-3.0, 3.0, 61)
    cone = 3.0 - np.hypot(*np.meshgrid(at, at))
    for edge, path in zip((0.5, 1.0, 2.0), iso_bands(cone, (0.5, 1.0, 2.0)), strict=True):
        assert area(path) * 0.01 == pytest.approx(math.pi * (3.0 - edge) ** 2, rel=0.01)


def test_a_slope_is_cut_straight_and_up_is_up():
    slope = np.outer(np.arange(4.0), np.ones(3))
    [path] = iso_bands(slope, [1.2])
    assert area(path) == pytest.approx(3.6)
    assert max(int(told) for told in re.findall(r"V(\d+)", path)) == 18


def test_pressure_at_the_wall_is_carried_into_it_and_air_is_left_as_it_was():
    air = np.ones((7, 9), bool)
    air[2:5, 3:6] = False
    values = np.where(air, 0.8, -9.0)
    values[0, 0] = 0.1
    carried = filled(values, air)
    assert carried[2:5, 3:6] == pytest.approx(0.8)
    assert (carried[air] == values[air]).all()


def test_shades_and_words_are_one_more_than_edges_and_name_them():
    assert len(BANDS) == len(SPEED_WORDS) == len(AIR_WORDS) == len(SPEED_EDGES) + 1 == len(AIR_EDGES) + 1
    for words, edges in ((SPEED_WORDS, SPEED_EDGES), (AIR_WORDS, AIR_EDGES)):
        told = [float(number) for word in words for number in re.findall(r"-?[\d.]+", word)]
        assert told == [edges[0], *(edge for pair in pairwise(edges) for edge in pair), edges[-1]]


def test_shades_are_those_of_the_page():
    told = (Path(__file__).parents[2] / "frontend" / "src" / "page.css").read_text(encoding="utf-8")
    light = told.split("@media (prefers-color-scheme: dark)")[0]
    assert tuple(re.findall(r"--cp-\d: (#[0-9a-f]{6});", light)) == BANDS


def test_shades_grow_lighter_one_after_the_other():
    def lightness(colour: str) -> float:
        parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
        linear = [one / 12.92 if one <= 0.04045 else ((one + 0.055) / 1.055) ** 2.4 for one in parts]
        return float(np.dot(linear, (0.2126, 0.7152, 0.0722)))

    steps = np.diff([lightness(one) ** (1 / 3) for one in BANDS])
    assert steps.min() > 0.05


def test_words_tell_wake_pressure_and_fineness():
    said = flow_sentence(a_flow(), METRIC)
    assert said.startswith("Wind 10 deg off the axis, to roll 0 deg. Behind the tail air is slower than half")
    assert "as far as 150 mm aft of it" in said
    assert "It presses hardest 37.5 mm ahead of the tip (Cp 1.00)." in said
    assert said.endswith("with 10 cells to a width. That is coarse: read the pattern, not the numbers.")
    assert "coarse" not in flow_sentence(a_flow(cells=16.0), METRIC)


def test_a_wake_that_reaches_out_of_sight_is_told_as_at_least():
    plane = a_flow().flow.planes[0]
    reach, ends = wake_m(plane)
    assert (pytest.approx(0.150), False) == (reach, ends)
    slow = replace(plane, speed=np.where(plane.air, 0.99 * WAKE, 0.0))
    assert wake_m(slow) == (pytest.approx(0.45), True)
    fast = replace(plane, speed=np.where(plane.air, 1.01 * WAKE, 0.0))
    assert wake_m(fast) == (None, False)
    beside = np.ones(plane.air.shape)
    beside[:, :20] = 0.1
    assert wake_m(replace(plane, speed=beside)) == (None, False)
    kept = a_flow()
    told = replace(kept, flow=replace(kept.flow, planes=(fast, fast)))
    assert "no air is slower than half the wind" in flow_sentence(told, METRIC)


def test_the_table_leaves_the_shape_out():
    table = flow_table(a_flow(), 0, METRIC)
    assert table.rows[0][0] == "-150 mm"
    assert all(float(row[2]) >= 0.1 for row in table.rows)
    assert min(float(row[2]) for row in table.rows) == 0.1
    assert max(float(row[7]) for row in table.rows) == 1.0
    assert table_csv(table).splitlines()[0] == ",".join(
        f'"{one}"' if "," in one else one for one in table.columns
    )
    inches = flow_table(a_flow(), 0, Shown(us_units=True))
    assert inches.rows[0][0].endswith(" in")


def test_the_table_of_the_film_has_every_moment_slice_by_slice():
    kept = a_flow()
    table, slices = moments_table(kept, METRIC), len(flow_table(kept, 0, METRIC).rows)
    assert len(table.rows) == slices * len(kept.flow.moments)
    assert [float(row[0]) for row in table.rows[::slices]] == pytest.approx([0.0, 0.5, 1.0, 1.5, 2.0])
    # The wind of the made-up flow stands at 10 degrees everywhere.
    first = table.rows[0]
    assert first[1] == "-150 mm"
    assert [float(part) for part in first[5:]] == [1.0, 0.98, 0.17]
    assert min(float(row[3]) for row in table.rows) == 0.1


def test_planes_are_named_by_what_is_up():
    assert plane_words(a_flow(roll_deg=45.0), 0) == "the plane that the wind lies in, roll 45 deg up"
    assert plane_words(a_flow(roll_deg=45.0), 1) == "the plane square to it, roll 135 deg up"
    assert plane_words(a_flow(0.0), 0) == "a plane through the axis, roll 0 deg up"


def test_a_drawn_plane_has_the_outline_where_the_shape_stands():
    plane = drawn_plane(a_flow().flow.planes[0])
    assert (plane.wide, plane.high) == (400, 160)
    # Tip a width aft of the first column; a width is four nodes.
    assert plane.outline == "M40 100H280V60H40V100z"
    assert len(plane.speed) == len(plane.pressure) == len(BANDS) - 1
    # What presses hardest does so up to the wall, not to somewhere between it and the last node before it.
    across = [int(told) for told in re.findall(r"[MLH](\d+)", plane.pressure[-1])]
    assert max(across) >= 40


def test_pictures_have_both_planes_the_shape_cut_in_and_every_word_of_the_key():
    for what, words in (("speed", SPEED_WORDS), ("pressure", AIR_WORDS)):
        svg = tunnel_air(a_flow(), what)
        assert svg.count('d="M40 100H280V60H40V100z"') == 2
        assert all(word in svg for word in words)
        assert all(shade in svg for shade in (BANDS[0], BANDS[-2]))
        assert "the plane square to it" in svg
    moments = tunnel_moments(a_flow())
    assert moments.count('d="M40 100H280V60H40V100z"') == 5
    assert "after 2.0 widths of travel" in moments


def test_specks_of_every_moment_keep_out_of_the_shape():
    for moment in drawn_moments(a_flow(0.0).flow, WIDTH_M):
        assert moment.specks
        points = [tuple(map(int, told)) for told in re.findall(r"[ML](\d+) (\d+)", moment.specks)]
        assert not [one for one in points if 50 < one[0] < 270 and 70 < one[1] < 90]
