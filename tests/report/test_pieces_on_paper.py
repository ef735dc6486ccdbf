"""Pieces of pages and pictures measured by hand: numbers beside one, outlines, sheets, tables."""

import json
import math
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest
from report import scenes_by_hand as scenes
from report import studies_by_hand as studies
from report.as_drawn import BOTH, page, same_as_told

from finial.assemble.inside.results import BayRoom, Taken
from finial.inside.things import Kind, Thing
from finial.report import text as text_report
from finial.report.drawings import as_pdf
from finial.report.drawings.shapes import Circle, Drawing, DrawnOutline, Label
from finial.report.json_records import plain
from finial.report.pictures.balloons import Balloon, balloons, placed_balloons, spread
from finial.report.pictures.silhouette import end_view, fin_outlines, steps
from finial.report.sections.inside import inside_section
from finial.report.shown import Shown
from finial.shape.fin_set import FinSet
from finial.shape.skin import Section, Skin

HERE = Path(__file__).parent / "drawn"


def pointing(*targets):
    return [
        Balloon(text=str(n), target=target, slide=(target[0] - 2.0, target[0] + 2.0))
        for n, target in enumerate(targets)
    ]


def stand(placed):
    return [(one.balloon.text, pytest.approx(one.at), pytest.approx(one.balloon.target)) for one in placed]


def test_numbers_stand_above_and_below_and_lead_straight_where_their_thing_lets_them():
    """Rings of 1.9 mm about ends at 10 and 50 mm, 4.6 mm apart; a place may slide 2 mm under its number."""
    placed = placed_balloons(
        pointing((20.0, 15.0), (21.0, 45.0), (22.0, 14.0), (80.0, 46.0)), 10.0, 50.0, 100.0
    )
    assert [(one.balloon.text, one.at, one.balloon.target) for one in placed] == stand(placed)
    told = [(one.balloon.text, *one.at, *one.balloon.target) for one in placed]
    assert [row[0] for row in told] == ["0", "2", "1", "3"]
    assert np.array([row[1:] for row in told]) == pytest.approx(
        np.array(
            [
                [18.7, 8.1, 18.7, 15.0],
                [23.3, 8.1, 23.3, 14.0],
                [21.0, 51.9, 21.0, 45.0],
                [80.0, 51.9, 80.0, 46.0],
            ]
        )
    )


def test_all_high_up_they_are_shared_between_both_rows():
    """Three more above than below would crowd them; two more do not."""
    six = pointing(*((10.0 * n, 12.0 + n) for n in range(1, 7)))
    assert [one.at[1] for one in placed_balloons(six, 10.0, 50.0, 100.0)] == pytest.approx(
        [8.1] * 3 + [51.9] * 3
    )
    low = pointing((10.0, 40.0), (20.0, 41.0), (30.0, 42.0), (40.0, 43.0))
    assert [one.at[1] for one in placed_balloons(low, 10.0, 50.0, 100.0)] == pytest.approx(
        [8.1] * 2 + [51.9] * 2
    )
    two = pointing((10.0, 40.0), (20.0, 41.0))
    assert [one.at[1] for one in placed_balloons(two, 10.0, 50.0, 100.0)] == pytest.approx([51.9] * 2)


def test_a_full_row_begins_another_one_outside_it():
    """Of 30 mm six are taken off for the ends: five fit in a row, and the next one is 4.18 mm further out."""
    every = pointing(*((15.0, 10.0 + n) for n in range(12)))
    placed = placed_balloons(every, 10.0, 50.0, 30.0)
    assert [one.at[1] for one in placed] == pytest.approx(
        [8.1] * 5 + [8.1 - 4.18] + [51.9] * 5 + [51.9 + 4.18]
    )
    assert [one.at[0] for one in placed[:5]] == pytest.approx([5.8, 10.4, 15.0, 19.6, 24.2])


def test_pushed_against_an_end_they_keep_their_distance():
    assert spread([0.0, 0.0, 1.0], 3.0, 100.0) == pytest.approx([3.0, 7.6, 12.2])
    assert spread([99.0, 99.0, 99.0], 3.0, 97.0) == pytest.approx([87.8, 92.4, 97.0])
    # The mean of the two is 12, the third pushes both: 10 - 0, 14 - 4.6, 14.2 - 9.2 have their mean at 8.13.
    assert spread([10.0, 14.0, 14.2], 0.0, 100.0) == pytest.approx([8.1333, 12.7333, 17.3333], abs=1e-3)
    assert spread([10.0, 20.0], 0.0, 100.0) == [10.0, 20.0]


def test_a_number_is_a_ring_over_a_leader_to_a_dot():
    drawn = balloons("inside", placed_balloons(pointing((20.0, 45.0)), 10.0, 50.0, 100.0))
    assert drawn.startswith('<g id="inside-balloons"><line ')
    for mark in (
        'cx="20" cy="45" r="0.45"',
        'cx="20" cy="51.9" r="1.9"',
        'y="52.7"',
        'font-size="2.3"',
        ">0<",
    ):
        assert mark in drawn


def cut(station_m, half, moved=0.0):
    left, right = moved - half, moved + half
    loop = np.array([[left, -1.0], [right, -1.0], [right, 1.0], [left, 1.0]])
    area = 4.0 * half
    return Section(
        station_m=station_m,
        loops=(loop,),
        area_m2=area,
        perimeter_m=4.0 * (half + 1.0),
        centroid_m=(moved, 0.0),
    )


def skin(*cuts):
    return Skin(sections=cuts, length_m=cuts[-1].station_m, volume_m3=1.0, wetted_area_m2=1.0)


NOTHING = Section(station_m=1.0, loops=(), area_m2=0.0, perimeter_m=0.0, centroid_m=(0.0, 0.0))


def test_a_sharp_step_is_an_edge_over_both_of_its_sides():
    stepped = skin(
        cut(0.0, 1.0), cut(1.0, 1.0, 0.5), cut(1.0 + 5e-7, 2.0), cut(2.0, 2.0), NOTHING, cut(3.0, 1.0)
    )
    assert steps(stepped) == [(1.0, -2.0, 2.0)]
    assert steps(skin(cut(0.0, 1.0), NOTHING, replace(NOTHING, station_m=1.0 + 5e-7))) == []
    assert steps(skin(NOTHING, cut(1.0, 1.0), cut(1.0 + 2e-6, 2.0))) == []


def fins(**given):
    usual = {
        "name": "fins",
        "station_m": 2.0,
        "root_radius_m": 0.5,
        "outline_m": np.array([[0.0, 0.0], [0.25, 1.0], [1.0, 1.0], [1.0, 0.0]]),
        "count": 4,
        "first_at_rad": 0.0,
        "thickness_m": 0.003,
        "offset_m": (0.25, 0.125),
    }
    return FinSet(**{**usual, **given})


def test_fins_from_the_side_are_the_rear_ones_first():
    """Four fins off the axis: those at 0 and 180 degrees in full, the others edge-on at the middle."""
    seen = fin_outlines(fins())
    assert [front for front, _ in seen] == [False, False, False, True]
    tips = [np.array(outline)[1] for _, outline in seen]
    assert np.array(tips) == pytest.approx(
        np.array([[2.25, 1.75], [2.25, 0.25], [2.25, -1.25], [2.25, 0.25]])
    )
    # With 90 degrees up the second fin stands up from 0.125, and the first is edge-on, in front.
    turned = fin_outlines(fins(), math.pi / 2)
    fronts = [(front, round(outline[1][1], 6)) for front, outline in turned]
    assert sorted(fronts) == [(False, -1.375), (False, 0.125), (False, 1.625), (True, 0.125)]


def test_from_the_tip_the_widest_section_stands_with_its_fins():
    """Reach 0.2795 + 1.5: fourteen millimetres; roll 0 is up, roll 90 degrees to the left."""
    body = skin(cut(0.0, 0.5), cut(1.0, 0.75), cut(2.0, 0.5))
    drawn = end_view(
        body, (fins(count=1), fins(count=1, first_at_rad=math.pi / 2)), centre=(50.0, 30.0), radius_mm=14.0
    )
    scale = 14.0 / (math.hypot(0.25, 0.125) + 1.5)
    numbers = [
        (50.0 - 0.125 * scale, 30.0 - 0.75 * scale, 50.0 - 0.125 * scale, 30.0 - 1.75 * scale),
        (50.0 - 0.625 * scale, 30.0 - 0.25 * scale, 50.0 - 1.625 * scale, 30.0 - 0.25 * scale),
    ]
    for x1, y1, x2, y2 in numbers:
        assert all(
            f'{key}="{value:.3f}'[:-1] in drawn
            for key, value in (("x1", x1), ("y1", y1), ("x2", x2), ("y2", y2))
        )
    assert drawn.count("<line ") == 2
    assert f"{50.0 + scale:.3f}" in drawn
    assert f"{30.0 + 0.75 * scale:.3f}" in drawn
    # Without fins that reach further, the body fills it.
    alone = end_view(body, (), centre=(50.0, 30.0), radius_mm=1.25)
    assert 'points="51,30.75 51,29.25 49,29.25 49,30.75"' in alone


def test_a_drawing_reaches_round_its_circles_and_its_words():
    """Words are as wide as their letters, whichever end they hang on."""
    drawing = Drawing(name="a", title="a", said=("A.",), shapes=(Circle(middle=(10.0, -20.0), diameter=6.0),))
    assert drawing.bounds == (7.0, -23.0, 13.0, -17.0)
    line = DrawnOutline(points=((-1.0, 2.0), (3.0, 50.0)), closed=False)
    assert replace(drawing, shapes=(*drawing.shapes, line)).bounds == (-1.0, -23.0, 13.0, 50.0)
    ends = {}
    for anchor in ("start", "middle", "end"):
        words = Label(text="four", at=(0.0, 0.0), anchor=anchor)
        left, low, right, high = replace(drawing, shapes=(words,)).bounds
        ends[anchor] = (left, right)
        assert (low, high) == (0.0, pytest.approx(3.5, abs=1.5))
    wide = ends["start"][1]
    assert ends == {"start": (0.0, wide), "middle": (-wide / 2, wide / 2), "end": (-wide, 0.0)}


@pytest.mark.parametrize(
    ("scale", "paper", "us_units", "name"), [(1, "letter", True, "sheets"), (2, "a4", False, "sheet")]
)
def test_a_drawing_is_written_sheet_by_sheet_for_the_typesetter(scale, paper, us_units, name):
    """A plate of 200 mm takes two sheets of 191.9 mm that overlap by ten; one of 100 mm takes one."""
    drawing = scenes.plate_drawing(scale)
    if scale == 2:
        halved = tuple(
            replace(one, points=tuple((x / 2, y / 2) for x, y in one.points))
            for one in drawing.shapes
            if isinstance(one, DrawnOutline)
        )
        drawing = replace(drawing, shapes=(*halved, Label(text='a "b" \\', at=(5.0, 5.0), anchor="end")))
    same_as_told(as_pdf._source(drawing, paper, us_units), HERE / f"{name}.txt")


def test_arrays_in_answers_hold_nothing_that_is_no_number():
    held = {
        "some": np.array([math.nan, 1.0]),
        "all": np.array([1.5, 2.0]),
        "counts": np.array([[1, 2], [3, 4]]),
    }
    told = plain(held)
    assert told == {"some": [None, 1.0], "all": [1.5, 2.0], "counts": [[1, 2], [3, 4]]}
    assert json.dumps(told, allow_nan=False)


def test_without_guesses_none_is_said_to_matter_most():
    assert text_report._first_guess(SimpleNamespace(guesses=()), Shown(us_units=False), 80) == []


def taking(thing):
    return Taken(thing=thing, size="thread", value=scenes.guess(0.006, 0.005, 0.007))


@BOTH
def test_the_inside_is_told_in_tables(us_units, us):
    inside = studies.inside_on_rail()
    guess = scenes.guess(2e-4, 1.8e-4, 2.2e-4)
    bays = (
        BayRoom(bay="bay", empty=guess, free=None, said=None, mouth_m=0.03),
        BayRoom(
            bay="nose bay", empty=guess, free=scenes.guess(1e-4, 0.9e-4, 1.2e-4), said=guess, mouth_m=0.03
        ),
    )
    aside = {"length_m": 0.02, "across_m": 0.03, "middle_m": 0.2}
    things = (
        Thing(name="on it", kind=Kind.OTHER, offset_m=(0.5e-4, 0.0), **aside),
        Thing(name="beside it", kind=Kind.OTHER, offset_m=(1.5e-4, 0.0), **aside),
        Thing(name="leaning", kind=Kind.OTHER, tilt_rad=0.2, **aside),
        Thing(name="eye", kind=Kind.EYE, tilt_rad=math.pi / 2, **aside),
        Thing(name="fins", kind=Kind.TAB, offset_m=(0.03, 0.04), depth_m=0.004, tilt_rad=0.1, **aside),
    )
    near = tuple(replace(inside.meetings[0], first=f"thing {n}") for n in range(9))
    taken = (taking("rod"), taking("lead"), taking("rod"))
    told = replace(inside, bays=bays, things=(*inside.things, *things), meetings=near, taken=taken)
    section = inside_section(SimpleNamespace(inside=told, us_units=us_units))
    assert [(table.numbers, table.pages_only) for table in section.tables] == [
        ((2, 3, 4), (1,)),
        ((2, 3), ()),
        ((1, 2, 3), ()),
    ]
    same_as_told(page(section), HERE / f"inside{us}.txt")
    bare = inside_section(
        SimpleNamespace(inside=replace(inside, guide=None, things=(), meetings=()), us_units=us_units)
    )
    assert (bare.facts, bare.tables, bare.notes) == ((("things inside", "0"),), (), ())
