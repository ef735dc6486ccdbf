"""The logbook on the page: a log over its prediction, with a cursor for pointer and keyboard."""

from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, Route, expect

OpenPage = Callable[..., Page]
TIMES = [0.5 * step for step in range(121)]


def flight(name: str, drag: float) -> dict[str, Any]:
    def curve(factor: float) -> dict[str, list[float | None]]:
        heights = [factor * time * (60.0 - time) for time in TIMES]
        climbs = [factor * (60.0 - 2.0 * time) for time in TIMES]
        return {"height": heights, "climb": climbs, "push": [None] * 121}

    marks = [{"name": "apogee", "time_s": 30.0, "height": 900.0 / drag, "text": "30.0 s"}]
    told = {"log": curve(1.0 / drag), "predicted": curve(1.0), "corrected": curve(1.01 / drag)}
    lines = {"times_s": TIMES, **told}
    return {"name": name, "said": "repaired: the mast", "lines": {**lines, "marks": marks}}


def with_flights(page: Page) -> None:
    flights = [flight("2 second", 1.25), flight("1 first", 1.0)]

    def answer(route: Route) -> None:
        height, climb = ("ft", "ft/s") if "units=us" in route.request.url else ("m", "m/s")
        route.fulfill(json={"height_unit": height, "climb_unit": climb, "fault": "", "flights": flights})

    page.route("**/api/flights*", answer)


@pytest.fixture
def page(open_page: OpenPage) -> Page:
    return open_page(prepare=with_flights)


def test_log_and_prediction_are_read_at_the_cursor(page: Page) -> None:
    section = page.get_by_role("region", name="Flights of the logbook")
    expect(section).to_contain_text("At 30.0 s: log 720 m, predicted 900 m, corrected model 727 m.")
    expect(section).to_contain_text("repaired: the mast.")
    cursor = section.get_by_role("slider", name="time from lift-off")
    cursor.focus()
    page.keyboard.press("Home")
    expect(section).to_contain_text("At 0.0 s: log 0.0 m")
    place = section.locator(".u-over").bounding_box()
    assert place is not None
    page.mouse.move(place["x"] + place["width"] / 6.0, place["y"] + 40.0)
    expect(section.get_by_role("status")).not_to_contain_text("At 0.0 s")
    expect(section.get_by_role("status")).to_contain_text("At 10.0 s: log 400 m, predicted 500 m")


def test_another_flight_and_another_number_are_chosen(page: Page) -> None:
    section = page.get_by_role("region", name="Flights of the logbook")
    section.get_by_role("combobox", name="flight").select_option("1 first")
    expect(section).to_contain_text("log 900 m, predicted 900 m")
    section.get_by_role("combobox", name="show").select_option("climb")
    expect(section).to_contain_text("At 30.0 s: log 0.0 m/s")
    page.get_by_role("button", name="Show US units").click()
    expect(section).to_contain_text("At 30.0 s: log 0.0 ft/s")
    expect(section.get_by_role("combobox", name="flight")).to_have_value("1 first")
    section.get_by_role("combobox", name="show").select_option("push")
    expect(section).to_contain_text("log not known")


def test_without_a_logbook_nothing_stands_there(open_page: OpenPage) -> None:
    page = open_page()
    expect(page.get_by_role("heading", name="Flights of the logbook")).to_have_count(0)
