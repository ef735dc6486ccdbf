"""Shapes whose outlines join, part and gape: as they lean on, each end of the band moves a little."""

import runpy
from collections.abc import Callable
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest
import trimesh

from finial.shape.mesh import Mesh


def _beside(name: str) -> SimpleNamespace:
    return SimpleNamespace(**runpy.run_path(str(Path(__file__).with_name(f"{name}.py"))))


FRESH, ODD, TILT = (
    _beside(name) for name in ("fresh_shapes", "test_odd_shapes_do_not_jump", "test_band_does_not_jump")
)


def ladder() -> trimesh.Trimesh:
    """Rungs thinner than their rails: their faces lean by less than a printed layer."""
    rails = [FRESH._box((0.02, 0.03, 0.5), (x, 0.0, 0.25)) for x in (-0.08, 0.08)]
    rungs = [FRESH._box((0.15, 0.02, 0.02), (0.0, 0.0, 0.08 * level)) for level in range(1, 7)]
    return FRESH._upright(*rails, *rungs)


def arch_with_a_hole() -> trimesh.Trimesh:
    """Its crown and the hole's gape open behind facets that hardly fall."""
    from shapely.geometry import Point, box

    front = box(-0.15, 0.0, 0.15, 0.4).difference(Point(0.0, 0.0).buffer(0.08))
    made = FRESH.trimesh.creation.extrude_polygon(front.difference(Point(0.0, 0.27).buffer(0.04)), 0.1)
    return FRESH._upright(FRESH._turned(made, 90.0, (1.0, 0.0, 0.0)))


def crossed_gables() -> trimesh.Trimesh:
    """Two ridges cross at the tip: plates of no thickness, whose size falls by a fraction of a millimetre."""
    pieces = [
        FRESH._turned(piece, turn, (0.0, 0.0, 1.0))
        for turn in (0.0, 90.0)
        for piece in (
            FRESH._box((0.24, 0.12, 0.2), (0.0, 0.0, 0.1)),
            FRESH._gable(0.24, 0.12, 0.08, (0.0, 0.0, 0.2)),
        )
    ]
    return FRESH._upright(*pieces)


def hourglass() -> trimesh.Trimesh:
    """The streamline off its upper rim just touches the shoulder below: two bubbles, or one."""
    bulb = (0.075, 0.02), (0.07, 0.07), (0.012, 0.15), (0.07, 0.23), (0.075, 0.28)
    return FRESH._upright(
        FRESH._revolved((0, 0), (0.08, 0), (0.08, 0.01), *bulb, (0.08, 0.29), (0.08, 0.3), (0, 0.3))
    )


@pytest.mark.parametrize(
    ("shape", "degrees", "on_to"),
    [(ladder, 0.0, 0.05), (arch_with_a_hole, 0.15, 0.25), (crossed_gables, 0.05, 0.1), (hourglass, 0.4, 0.5)],
)
def test_it_leans_on_and_keeps_its_band(
    shape: Callable[[], trimesh.Trimesh], degrees: float, on_to: float
) -> None:
    made = shape()
    mesh = Mesh(vertices_m=np.asarray(made.vertices), faces=np.asarray(made.faces))
    one, other = (TILT.tilted(mesh, by, 0.0) for by in (degrees, on_to))
    # Before by 0.03 to 15.
    assert ODD.moved(one, other) < ODD.ALLOWED


def mushroom(stub_m: float) -> Mesh:
    """A cap on a stem, and a tube of 40 mm that stands out under it."""
    cap = (0.1, 0.13), (0.12, 0.15), (0.11, 0.19), (0.08, 0.22), (0.04, 0.235), (0.0, 0.24)
    body = FRESH._revolved((0, 0), (0.04, 0), (0.032, 0.05), (0.03, 0.15), *cap)
    made = FRESH._upright(body, FRESH._rod(0.02, stub_m + 0.01, (0.0, 0.0, 0.005 - stub_m / 2)))
    return Mesh(vertices_m=np.asarray(made.vertices), faces=np.asarray(made.faces))


def test_a_stub_of_half_a_millimetre_in_dead_air_moves_it_by_little() -> None:
    # From 0.3 mm on it is cut: before by 0.07 at once.
    assert ODD.moved(mushroom(0.0002), mushroom(0.0005)) < ODD.ALLOWED


def bishop(cut_m: float) -> Mesh:
    """A foot that flares out, collars, a head with a knob, and so much of a chamfer under the foot."""
    foot = [
        (0, 0),
        (0.05 - cut_m, 0),
        (0.05, cut_m),
        (0.05, 0.012),
        (0.042, 0.025),
        (0.03, 0.04),
        (0.02, 0.08),
    ]
    collars = (0.017, 0.13), (0.03, 0.138), (0.03, 0.144), (0.018, 0.15)
    head = (0.026, 0.17), (0.028, 0.185), (0.02, 0.21), (0.008, 0.228), (0.008, 0.235), (0, 0.24)
    made = FRESH._upright(FRESH._revolved(*foot, *collars, *head))
    return Mesh(vertices_m=np.asarray(made.vertices), faces=np.asarray(made.faces))


def test_a_chamfer_of_half_a_millimetre_moves_the_moment_by_little() -> None:
    # It made the foot's edge a lip of its own, that let go more than there is: before by 0.14.
    (_, plain, _), (_, cut, _) = (ODD.ends(bishop(size)) for size in (1e-6, 0.0005))
    assert np.abs(plain - cut).max() < ODD.ALLOWED + 6.0 * 0.0005 / 0.1


def star_on_two_feet() -> trimesh.Trimesh:
    """A star of five points that stands on two of them: as it leans, one foot is the longer by ever more."""
    from shapely.geometry import Polygon

    turn = np.pi / 5 * np.arange(10)
    outline = np.where(np.arange(10) % 2, 0.06, 0.14) * np.array([np.sin(turn), np.cos(turn)])
    made = FRESH.trimesh.creation.extrude_polygon(Polygon(outline.T), 0.05)
    return FRESH._upright(FRESH._turned(made, 90.0, (1.0, 0.0, 0.0)))


def anchor() -> trimesh.Trimesh:
    """Ring, stock, shank and two arms of one plate: a profile of fifty stretches."""
    from shapely.geometry import Point, Polygon, box
    from shapely.ops import unary_union

    ring = Point(0.0, 0.43).buffer(0.035).difference(Point(0.0, 0.43).buffer(0.022))
    arms = Point(0.0, 0.14).buffer(0.16, 64).difference(Point(0.0, 0.14).buffer(0.13, 64))
    palms = [Polygon([(x - 0.03, 0.09), (x + 0.03, 0.09), (x, 0.15)]) for x in (-0.145, 0.145)]
    bars = box(-0.015, 0.0, 0.015, 0.4), box(-0.1, 0.35, 0.1, 0.37)
    plate = unary_union([ring, arms.intersection(box(-1.0, -1.0, 1.0, 0.1)), *bars, *palms])
    return FRESH._upright(
        FRESH._turned(FRESH.trimesh.creation.extrude_polygon(plate, 0.02), 90.0, (1.0, 0.0, 0.0))
    )


@pytest.mark.parametrize(
    ("shape", "degrees", "on_to"),
    [(star_on_two_feet, 0.105, 0.115), (FRESH.key, 0.125, 0.135), (anchor, 0.155, 0.16)],
)
def test_it_leans_on_about_an_axis_aslant(
    shape: Callable[[], trimesh.Trimesh], degrees: float, on_to: float
) -> None:
    # Steps, corners and stretches of the outline that were told apart, or not, at once: before by 0.04
    made = shape()
    mesh = Mesh(vertices_m=np.asarray(made.vertices), faces=np.asarray(made.faces))
    one, other = (TILT.tilted(mesh, by, 1.2) for by in (degrees, on_to))
    assert ODD.moved(one, other) < 0.5 * ODD.ALLOWED


def spanner(wide_m: float, turn_deg: float) -> trimesh.Trimesh:
    """A thick plate with an open jaw that stands askew and a hole of six sides."""
    from shapely import affinity
    from shapely.geometry import Point, Polygon, box
    from shapely.ops import unary_union

    turn = np.pi / 3 * np.arange(6) + np.pi / 6
    hole = Polygon(np.column_stack([0.028 * np.cos(turn), 0.05 + 0.028 * np.sin(turn)]))
    gape = affinity.rotate(box(-wide_m, 0.41, wide_m, 0.6), turn_deg, origin=(0.0, 0.42))
    jaw, ring = Point(0.0, 0.42).buffer(0.065, 32).difference(gape), Point(0.0, 0.05).buffer(0.05, 32)
    plate = unary_union([box(-0.02, 0.05, 0.02, 0.4), ring, jaw]).difference(hole)
    return FRESH._upright(
        FRESH._turned(FRESH.trimesh.creation.extrude_polygon(plate, 0.03), 90.0, (1.0, 0.0, 0.0))
    )


def birdhouse() -> trimesh.Trimesh:
    """Two thin boards lean on each other over a gable: at the tip a cut shows two slivers."""
    from shapely.geometry import Polygon

    front = Polygon([(-0.1, 0.1), (0.1, 0.1), (0.1, 0.3), (0.0, 0.4), (-0.1, 0.3)])
    walls = FRESH._turned(FRESH.trimesh.creation.extrude_polygon(front, 0.16), 90.0, (1.0, 0.0, 0.0))
    perch = FRESH._turned(FRESH._rod(0.006, 0.06, (0.0, 0.0, 0.0)), 90.0, (1.0, 0.0, 0.0))
    boards = [
        FRESH._moved(
            FRESH._turned(FRESH._box((0.17, 0.2, 0.012), (0.0, 0.0, 0.0)), side * 45.0, (0.0, 1.0, 0.0)),
            (side * 0.056, 0.0, 0.352),
        )
        for side in (-1, 1)
    ]
    post, body = FRESH._rod(0.02, 0.12, (0.0, 0.0, 0.05)), FRESH._moved(walls, (0.0, 0.08, 0.0))
    return FRESH._upright(body, FRESH._moved(perch, (0.0, -0.1, 0.18)), post, *boards)


def askew_spanner() -> trimesh.Trimesh:
    """Its jaw stands askew."""
    return spanner(0.03, 15.0)


@pytest.mark.parametrize(
    ("shape", "about", "degrees", "on_to", "most"),
    # Before by 0.31, where a hole comes out of dead air between two cuts: still too much; by 0.27,
    # where a sliver at the tip told how compact the whole front is.
    [(askew_spanner, 1.2, 0.0, 0.05, 0.05), (birdhouse, 0.3, 0.1, 0.15, ODD.ALLOWED)],
)
def test_slivers_and_holes_do_not_jump(
    shape: Callable[[], trimesh.Trimesh], about: float, degrees: float, on_to: float, most: float
) -> None:
    made = shape()
    mesh = Mesh(vertices_m=np.asarray(made.vertices), faces=np.asarray(made.faces))
    one, other = (TILT.tilted(mesh, by, about) for by in (degrees, on_to))
    assert ODD.moved(one, other) < most
