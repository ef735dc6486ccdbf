"""Surface pressure on the page: triangles, coefficients at corners, words, tables, and what is missing."""

import math
import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from itertools import pairwise

import httpx
import numpy as np
import pytest
from serving import serving

from finial.core.errors import CampaignError, MissingData
from finial.report.pressure_words import (
    BAND_WORDS,
    FEW_CELLS,
    PRESSURE_EDGES,
    pressure_sentence,
    pressure_table,
)
from finial.report.shown import Shown
from finial.tunnel_study.surfaces import KeptSurface, SurfaceTold
from finial.web.pressure import NOT_KNOWN, Pressed, in_hundredths, pressed, split_to
from finial.web.session import Session

from .conftest import PAGE_KEY, with_key

METRIC = Shown(us_units=False)
CLOSE_M = 0.01


def a_surface(angle_deg: float = 10.0, roll_deg: float = 0.0, *, cells: float = 20.0) -> KeptSurface:
    """A square post 1 m long, 200 mm wide, places 10 mm apart: pressed where it faces the wind."""
    stations, at = np.meshgrid(np.arange(0.005, 1.0, 0.01), np.arange(-0.095, 0.1, 0.01))
    places, pressures = [], []
    for y, z in ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0)):
        across = np.column_stack([0.1 * y + at.ravel() * z, 0.1 * z + at.ravel() * y])
        places.append(np.column_stack([stations.ravel(), across]))
        towards = y * math.cos(math.radians(roll_deg)) + z * math.sin(math.radians(roll_deg))
        pressures.append(np.full(stations.size, -0.7 * towards) + 0.1 * (1.0 - stations.ravel()))
    told = SurfaceTold(
        shape="0" * 32, bare=False, angle_rad=math.radians(angle_deg), roll_rad=math.radians(roll_deg),
        cells=cells, grids=2, apart_m=CLOSE_M, group=0,
    )  # fmt: skip
    return KeptSurface(told=told, places_m=np.concatenate(places), pressures=np.concatenate(pressures))


def post() -> np.ndarray:
    """Triangles of its four sides in body axes, seen from outside counter-clockwise."""
    ring = np.array([(0.1, 0.1), (-0.1, 0.1), (-0.1, -0.1), (0.1, -0.1)])
    found = []
    for one, other in pairwise([*range(4), 0]):
        a, b = (np.array([0.0, *ring[at]]) for at in (one, other))
        down = np.array([-1.0, 0.0, 0.0])
        found += [[b, a, a + down], [b + down, b, a + down]]
    return np.array(found)


def on_post(surface: KeptSurface) -> Pressed:
    return Pressed(surfaces=(surface,), triangles_m=split_to(post(), 0.05, most=12_000), length_m=1.0)


@pytest.mark.parametrize(("roll_deg", "faces"), [(0.0, (-1.0, 0.0)), (90.0, (0.0, -1.0))])
def test_the_side_that_faces_the_wind_is_pressed(roll_deg: float, faces: tuple[float, float]) -> None:
    shown = on_post(a_surface(roll_deg=roll_deg))
    found = shown.on_corners(0)
    normals = np.cross(*(shown.triangles_m[:, one] - shown.triangles_m[:, 0] for one in (1, 2)))[:, 1:]
    normals /= np.linalg.norm(normals, axis=1)[:, None]
    facing = normals @ np.array(faces)
    assert found.shape == (len(shown.triangles_m), 3)
    # Within a gap of an edge the other side is heard as well.
    assert found[facing > 0.9].min() > 0.4
    assert found[facing < -0.9].max() < -0.25
    assert np.median(found[facing > 0.9]) == pytest.approx(0.75, abs=0.05)
    assert np.median(found[np.abs(facing) < 0.1]) == pytest.approx(0.05, abs=0.05)


def test_fore_is_fore() -> None:
    """Stations run aft, body axes forward: what falls from tip to tail falls on the picture as well."""
    shown = on_post(a_surface(0.0))
    corners = shown.triangles_m.reshape(-1, 3)
    side = (corners[:, 2] > 0.0999) & (np.abs(corners[:, 1]) < 0.08)
    pressures = shown.on_corners(0).ravel()[side]
    assert pressures == pytest.approx(0.1 * (1.0 + corners[side][:, 0]), abs=0.02)


def test_where_no_cell_lies_near_a_triangle_is_not_known() -> None:
    surface = a_surface()
    bare = surface.places_m[:, 0] > 0.5
    half = replace(surface, pressures=np.where(bare, np.nan, surface.pressures))
    shown = on_post(half)
    unknown = np.isnan(shown.on_corners(0))
    aft = -shown.triangles_m[:, :, 0]
    assert unknown[aft > 0.55].all()
    assert not unknown[aft < 0.45].any()
    sent = np.frombuffer(in_hundredths(shown.on_corners(0)), dtype="<i2")
    assert ((sent == NOT_KNOWN) == unknown.ravel()).all()


def test_triangles_are_halved_until_short_but_stay_few() -> None:
    fine = split_to(post(), 0.05, most=12_000)
    sides = np.linalg.norm(fine - np.roll(fine, -1, axis=1), axis=2)
    assert sides.max() <= 0.05
    areas = np.linalg.norm(np.cross(fine[:, 1] - fine[:, 0], fine[:, 2] - fine[:, 0]), axis=1) / 2
    assert areas.sum() == pytest.approx(0.8)
    assert len(split_to(post(), 0.001, most=500)) <= 500
    normals = np.cross(fine[:, 1] - fine[:, 0], fine[:, 2] - fine[:, 0])
    assert (np.einsum("mk,mk->m", normals, fine.mean(axis=1) * np.array([0.0, 1.0, 1.0])) > 0).all()


def test_words_say_where_it_presses_and_how_finely_it_was_blown() -> None:
    said = pressure_sentence(a_surface(), METRIC)
    assert said.startswith(
        "Wind 10 deg off the axis, to roll 0 deg: it presses hardest 5 mm aft of the tip (Cp 0.80)"
    )
    assert "pulls hardest 995 mm aft of the tip (Cp -0.70)" in said
    assert said.endswith("Blown with 20 cells to a width, the finest of 2 grids.")
    assert FEW_CELLS == 16.0
    assert "coarse" not in pressure_sentence(a_surface(cells=FEW_CELLS), METRIC)
    assert "That is coarse" in pressure_sentence(a_surface(cells=FEW_CELLS - 0.1), METRIC)


def test_words_say_how_much_is_not_known() -> None:
    surface = a_surface()
    gaps = np.where(np.arange(len(surface.pressures)) % 4 == 0, np.nan, surface.pressures)
    assert "Of 25 % of the places it is not known" in pressure_sentence(
        replace(surface, pressures=gaps), METRIC
    )
    nothing = replace(surface, pressures=np.full_like(gaps, np.nan))
    assert pressure_sentence(nothing, METRIC) == "Of this run no pressure on the surface is known."


def test_the_table_sets_the_windward_side_beside_the_lee() -> None:
    first, *rest = pressure_table(a_surface(), 1.0, METRIC).rows
    assert len(rest) == 19
    # The first slice of 50 mm: 0.1 (1 - x) is 0.0975 in the mean. Within 60 degrees of the wind stand the 20
    # places of a side, 0.7 more, and 4 of each neighbour: (20 * 0.7975 + 8 * 0.0975) / 28 is 0.60.
    assert first == ("0 mm", "50 mm", "0.10", "-0.60", "0.80", "0.60", "-0.40")
    along = pressure_table(a_surface(0.0), 1.0, METRIC)
    assert len(along.columns) == len(along.rows[0]) == 5
    short = pressure_table(a_surface(), 2.0, METRIC)
    assert short.rows[-1][2:] == ("not known",) * 5


def test_the_words_of_the_bands_name_their_edges() -> None:
    told = [float(number) for words in BAND_WORDS for number in re.findall(r"-?[\d.]+", words)]
    assert told == [
        PRESSURE_EDGES[0],
        *(edge for pair in pairwise(PRESSURE_EDGES) for edge in pair),
        PRESSURE_EDGES[-1],
    ]


@contextmanager
def asked(session: Session) -> Iterator[httpx.Client]:
    with (
        serving(session, PAGE_KEY) as port,
        httpx.Client(base_url=f"http://127.0.0.1:{port}", cookies=with_key(port)) as requests,
    ):
        yield requests


def test_winds_triangles_and_pressures_are_served(session: Session) -> None:
    surfaces = (a_surface(0.0), a_surface(10.0, 45.0))
    with asked(replace(session, surfaces=lambda: surfaces)) as client:
        told = client.get("/api/pressure").json()
        assert [one["name"] for one in told["winds"]] == [
            "along the axis",
            "10 deg off the axis, to roll 45 deg",
        ]
        assert np.linalg.norm([one["towards"] for one in told["winds"]], axis=1) == pytest.approx([1.0, 1.0])
        assert told["winds"][1]["towards"] == pytest.approx([-0.9848, 0.1228, 0.1228], abs=1e-4)
        mesh = client.get("/api/pressure/mesh").content
        corners, faces = np.frombuffer(mesh, "<u4", 2)
        laid = pressed(session.as_written.shape, surfaces)
        assert (corners, faces) == (3 * len(laid.triangles_m), len(laid.triangles_m))
        for number in range(2):
            sent = client.get(f"/api/pressure/{number}").content
            assert sent == in_hundredths(laid.on_corners(number))
        assert client.get("/api/pressure/2").status_code == 404
        inches = client.get("/api/pressure", params={"units": "us"}).json()
        assert inches["winds"][0]["table"]["rows"][0][1].endswith(" in")


def _raise(fault: Exception) -> Callable[[], tuple[KeptSurface, ...]]:
    def refuse() -> tuple[KeptSurface, ...]:
        raise fault

    return refuse


@pytest.mark.parametrize(
    ("surfaces", "says"),
    [
        (None, "no sheet that a study could lie beside"),
        (_raise(MissingData("the pressures that are kept are of another shape")), "of another shape."),
        (_raise(CampaignError("x is not as it was written")), "X is not as it was written."),
    ],
)
def test_what_is_missing_is_said(session: Session, surfaces: object, says: str) -> None:
    with asked(replace(session, surfaces=surfaces)) as client:
        told = client.get("/api/pressure").json()
        assert told["winds"] == []
        assert says in told["says"]
        assert client.get("/api/pressure/mesh").status_code == 404
        assert client.get("/api/pressure/0").status_code == 404
