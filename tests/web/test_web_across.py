"""The cut across at any station: areas and loads by hand, its picture measured back, and what is refused."""

import math
from collections.abc import Callable, Coroutine
from dataclasses import replace
from xml.etree import ElementTree

import httpx
import numpy as np
import pytest

from finial.assemble.strength.results import CaseLoads
from finial.core.errors import MissingData, OutsideRange
from finial.findings.finding import Subject
from finial.findings.readiness import Readiness
from finial.report.document import Table
from finial.report.pictures.station_cut import fin_cuts
from finial.report.shown import Shown
from finial.shape.fin_set import FinSet
from finial.structure.loads.case import Case, Load
from finial.structure.reserves import FailureMode
from finial.web.across import PageCut, cut_across
from finial.web.app import create_app
from finial.web.payload import finding_cards
from finial.web.session import Session

from .conftest import PAGE_KEY, with_key

PORT = 8771
SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture
def loaded(with_a_post: Session) -> Session:
    """The square post, 160 mm wide, with a hole of 100 mm and a stick of 20 mm in it; half loaded."""
    rising = np.array([0.0, 1.0])
    case = CaseLoads(
        case=Case(load=Load.MAX_SPEED),
        stations_m=np.array([0.0, 0.5]),
        axial_n=100.0 * rising,
        shear_n=-40.0 * rising,
        bending_n_m=8.0 * rising,
        torsion_n_m=0.0 * rising,
    )
    as_written = with_a_post.as_written
    return replace(
        with_a_post,
        as_written=replace(as_written, strength=replace(as_written.strength, cases=(case,))),
        answer=lambda _question: replace(as_written, strength=replace(as_written.strength, cases=(case,))),
    )


def table(cut: PageCut, title: str) -> Table:
    return next(one for one in cut.section.tables if one.title == title)


def test_areas_are_those_of_the_square_the_hole_and_the_stick(loaded: Session) -> None:
    cut = cut_across(loaded.as_written, 0.4)
    facts = dict(cut.section.facts)
    assert facts["area within the outline"] == "256 cm2"
    # 160^2 less the hole: 256 - 78.5 cm2, its 48 sides standing 0.1 % outside the circle.
    assert facts["print, infill as full"] == "177 cm2"
    assert facts["room that no print fills"] == "78.7 cm2"
    (stick,) = table(cut, "What stands there").rows
    assert stick == ("1", "stick", "other", "20 mm across", "3.15 cm2", "0", "")
    assert cut.station_m == pytest.approx(0.4, abs=0.003)


def test_loads_are_those_between_the_case_s_own_stations_and_only_there(loaded: Session) -> None:
    cut = cut_across(loaded.as_written, 0.25)
    share = cut.station_m / 0.5
    (row,) = table(cut, "What it carries there").rows
    assert row[0] == "max speed with a gust"
    assert [float(cell.split()[0]) for cell in row[1:]] == pytest.approx(
        [100.0 * share, -40.0 * share, 8.0 * share], rel=0.01
    )
    behind = cut_across(loaded.as_written, 0.8)
    assert all(one.title != "What it carries there" for one in behind.section.tables)


def test_a_reserve_is_told_where_it_was_judged_and_never_beyond(loaded: Session) -> None:
    # Judged at 0.1, 0.3 (nobody knows), 0.5 (12 / 7.5), 0.7 and 0.9 m.
    told = {at: dict(cut_across(loaded.as_written, at).section.facts) for at in (0.02, 0.3, 0.5)}
    key = "least reserve here, all cases"
    assert told[0.5][key].startswith("1.60 of 1.5 needed, judged at 500 mm: wall wrinkles")
    assert (told[0.02][key], told[0.3][key]) == ("not known", "not known")


def test_the_picture_is_true_to_its_bar(loaded: Session) -> None:
    cut = cut_across(loaded.as_written, 0.4)
    root = ElementTree.fromstring(cut.svg)
    bar = next(node for node in root.iter(f"{SVG}line") if node.get("id") == "station-cut-bar")
    bar_mm = float(bar.get("x2")) - float(bar.get("x1"))
    told = next(text.text for text in root.iter(f"{SVG}text") if text.text.endswith(" mm"))
    per_m = bar_mm / (float(told.removesuffix(" mm")) * 1e-3)
    skin = next(node for node in root.iter(f"{SVG}path") if node.get("fill") == "#fbfbfa").get("d")
    across = [float(pair.split()[0]) for pair in skin.removeprefix("M").removesuffix(" Z").split(" L")]
    assert (max(across) - min(across)) / per_m == pytest.approx(0.16, rel=1e-3)
    assert root.findtext(f"{SVG}desc") == cut.says
    assert "stick (1)" in cut.says


@pytest.mark.parametrize(("station_m", "count"), [(0.79, 0), (0.81, 2), (0.85, 2), (0.91, 0)])
def test_a_plane_cuts_fins_where_they_stand(station_m: float, count: int) -> None:
    """Two triangles from 0.8 to 0.9 m, 40 mm high in the middle, 3 mm thick, on a radius of 50 mm."""
    fin = FinSet(
        name="fins",
        outline_m=np.array([[0.0, 0.0], [0.05, 0.04], [0.1, 0.0]]),
        station_m=0.8,
        root_radius_m=0.05,
        count=2,
        first_at_rad=math.pi / 2,
        thickness_m=0.003,
    )
    plates = fin_cuts(fin, station_m)
    assert len(plates) == count
    if not count:
        return
    high = 0.04 * (1 - abs(station_m - 0.85) / 0.05)
    assert plates[0].area == pytest.approx(high * 0.003)
    # The first stands at roll 90 degrees: along body z.
    low_y, low_z, high_y, high_z = plates[0].bounds
    assert (low_y, high_y) == pytest.approx((-0.0015, 0.0015))
    assert (low_z, high_z) == pytest.approx((0.05, 0.05 + high))


def test_what_is_not_on_the_vehicle_is_refused(loaded: Session, session: Session) -> None:
    with pytest.raises(OutsideRange, match="from 0 to 1 m"):
        cut_across(loaded.as_written, 1.2)
    with pytest.raises(MissingData):
        cut_across(session.as_written, 0.4)


def test_it_is_served_of_what_is_tried_in_the_units_asked(
    loaded: Session, in_a_loop_of_its_own: Callable[[Coroutine], list[httpx.Response]]
) -> None:
    async def talk() -> list[httpx.Response]:
        app = create_app(loaded, port=PORT, key=PAGE_KEY)
        async with httpx.AsyncClient(
            transport=httpx.ASGITransport(app=app),
            base_url=f"http://127.0.0.1:{PORT}",
            cookies=with_key(PORT),
        ) as client:
            asked = ("0.4&units=us", "here", "nan", "7")
            return [await client.post(f"/api/across?station_m={one}", json={}) for one in asked]

    told, *refused = in_a_loop_of_its_own(talk())
    assert dict(told.json()["section"]["facts"])["area within the outline"].endswith("in2")
    assert told.json()["svg"].startswith("<svg")
    assert [one.status_code for one in refused] == [400, 400, 422]


def test_a_finding_leads_to_the_section_at_its_station_and_to_what_moves(readiness: Readiness) -> None:
    strength = replace(readiness.findings[0], stage="strength", fixes=(), reasons=(), trials=())
    made = [
        replace(strength, key=FailureMode.WALL_CRUSHED.value, subject=Subject(name="post", station_m=0.4205)),
        replace(strength, key=FailureMode.FIN_FLUTTERS.value, subject=Subject(name="fins", station_m=0.9)),
        replace(strength, key=FailureMode.WALL_CRUSHED.value, subject=Subject(name="post")),
    ]
    told = [finding_cards((one,), Shown(us_units=False))[0].seen_in for one in made]
    assert told == ["station-420", "swing-title", "along-title"]
