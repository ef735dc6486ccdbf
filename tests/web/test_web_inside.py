"""The section on the page: served as a picture, said in words, and left out where there is nothing to cut."""

from collections.abc import Callable, Coroutine
from xml.etree import ElementTree

import httpx

from finial.web.app import create_app
from finial.web.payload import vehicle_payload
from finial.web.session import Session

from .conftest import PAGE_KEY, with_key

PORT = 8765


def asked(session: Session, run: Callable[[Coroutine], httpx.Response]) -> httpx.Response:
    async def ask() -> httpx.Response:
        transport = httpx.ASGITransport(app=create_app(session, port=PORT, key=PAGE_KEY))
        async with httpx.AsyncClient(
            transport=transport, base_url=f"http://127.0.0.1:{PORT}", cookies=with_key(PORT)
        ) as client:
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


def test_what_stands_inside_is_told_for_the_picture(with_a_post: Session) -> None:
    (stick,) = vehicle_payload(with_a_post.as_written)["things"]
    assert (stick["name"], stick["middle_m"], stick["length_m"], stick["across_m"]) == (
        "stick",
        0.4,
        0.2,
        0.02,
    )
    assert stick["says"] == "other, from 300 mm to 500 mm, 20 mm across"
    assert (stick["depth_m"], stick["bore_m"], stick["offset_m"]) == (0.0, 0.0, [0.0, 0.0])


def test_printed_parts_are_told_with_their_stations(with_a_post: Session) -> None:
    (post,) = vehicle_payload(with_a_post.as_written)["parts"]
    assert (post["name"], post["fore_m"], post["aft_m"]) == ("post", 0.0, 1.0)
    assert post["says"] == "printed part, from 0 mm to 1000 mm"
