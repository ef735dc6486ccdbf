"""What follows from a cause stands in a list of its own, for the eye, the keyboard and a screen reader."""

from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, Route, expect

OpenPage = Callable[..., Page]


def card(name: str, verdict: str, followers: list[dict[str, Any]] | None = None) -> dict[str, Any]:
    told = {"key": name, "subject": "stability", "name": name, "verdict": verdict, "value": "12 mm"}
    rest = {"interval": "3 to 20", "limit": "at least 80 mm", "margin": "", "why": f"why of {name}"}
    more = {"fix": f"mend {name}", "source": "common practice", "safety": True}
    return told | rest | more | ({} if followers is None else {"followers": followers})


def with_followers(page: Page) -> None:
    """Answer as the server does, with a leader and two that follow from its cause."""

    def told(route: Route) -> None:
        answered = route.fetch()
        body = answered.json()
        led = card("off balance", "no-go", [card("margin at burnout", "no-go"), card("tip-off", "caution")])
        body["answer"]["findings"] = [led, card("alone", "caution", [])]
        route.fulfill(response=answered, json=body)

    page.route("**/api/vehicle", told)


@pytest.fixture
def page(open_page: OpenPage) -> Page:
    return open_page(prepare=with_followers)


def test_followers_are_a_named_list_inside_the_card_of_their_leader(page: Page) -> None:
    cards = page.get_by_role("region", name="Findings, worst first").locator(".card")
    expect(cards).to_have_count(2)
    following = cards.first.get_by_role("list", name="Of the same cause as off balance")
    expect(following.get_by_role("listitem")).to_have_count(2)
    expect(following.get_by_role("heading", level=4)).to_have_text(
        ["no-go margin at burnout", "caution tip-off"], ignore_case=True
    )
    expect(following).to_contain_text("mend tip-off")
    expect(cards.last.get_by_role("list")).to_have_count(0)


def test_a_keyboard_folds_the_list_and_opens_it_again(page: Page) -> None:
    following = page.get_by_role("list", name="Of the same cause as off balance")
    expect(following).to_be_visible()
    summary = page.get_by_text("2 more of the same cause")
    summary.focus()
    page.keyboard.press("Enter")
    expect(following).to_be_hidden()
    page.keyboard.press("Space")
    expect(following).to_be_visible()
