"""The section on the page: served as a picture, said in words, and left out where there is nothing to cut."""

from collections.abc import Callable, Coroutine
from dataclasses import replace
from xml.etree import ElementTree

import httpx
import pytest

from finial.inside.cavity import Printed, cavity_of
from finial.inside.things import Kind, Thing
from finial.shape.repair import repaired
from finial.shape.sections import slice_skin
from finial.shape.tiers import Tier, tiers_mesh
from finial.web.app import create_app
from finial.web.payload import vehicle_payload
from finial.web.session import Session

PORT = 8765


@pytest.fixture
def with_a_post(session: Session) -> Session:
    """The invented vehicle with a square post for its shape, and a stick in it."""
    post = tiers_mesh([Tier(sides=4, across_m=0.16, across_top_m=0.16, height_m=1.0)])
    hole = Thing(name="hole", kind=Kind.OTHER, middle_m=0.5, length_m=0.9, across_m=0.1)
    part = Printed(name="post", mended=repaired(post), outside=True, bores=(hole,))
    cavity = cavity_of([part], slice_skin([post]))
    stick = Thing(name="stick", kind=Kind.OTHER, middle_m=0.4, length_m=0.2, across_m=0.02)
    inside = replace(session.as_written.inside, cavity=cavity, things=(stick,))
    return replace(session, as_written=replace(session.as_written, inside=inside))


def asked(session: Session, run: Callable[[Coroutine], httpx.Response]) -> httpx.Response:
    async def ask() -> httpx.Response:
        transport = httpx.ASGITransport(app=create_app(session, port=PORT))
        async with httpx.AsyncClient(transport=transport, base_url=f"http://127.0.0.1:{PORT}") as client:
            return await client.get("/api/inside")

    return run(ask())


def test_the_section_comes_as_a_picture_that_says_what_it_shows(
    with_a_post: Session, in_a_loop_of_its_own
) -> None:
    answer = asked(with_a_post, in_a_loop_of_its_own)
    assert answer.status_code == 200
    assert answer.headers["content-type"] == "image/svg+xml"
    assert answer.headers["cache-control"] == "no-store"
    told = ElementTree.fromstring(answer.text).findtext("{http://www.w3.org/2000/svg}desc")
    assert "stick from 300 mm to 500 mm" in told
    assert vehicle_payload(with_a_post.as_written)["inside"] == {"says": told}


def test_without_a_shape_there_is_no_section(session: Session, in_a_loop_of_its_own) -> None:
    assert vehicle_payload(session.as_written)["inside"] is None
    assert asked(session, in_a_loop_of_its_own).status_code == 404
