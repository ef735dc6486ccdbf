"""The page that was sent: from a file, on a phone, without a network."""

import json
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest
from playwright.sync_api import Browser, Page, expect

from finial.web.controls import ballast_controls
from finial.web.payload import answer_text
from finial.web.session import Session
from finial.web.share import STATIC, shared_page

from .test_page import axe, settled_picture

__all__ = ["axe"]


@pytest.fixture(scope="module")
def sent(session: Session, tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("sent") / "it.page.html"
    when = datetime(2031, 5, 6, tzinfo=UTC)
    text = shared_page(session.as_written, STATIC, revision="abc", when=when)
    path.write_text(text, encoding="utf-8")
    return path


@pytest.fixture(params=["light", "dark"])
def phone(browser: Browser, sent: Path, request: pytest.FixtureRequest) -> Page:
    context = browser.new_context(
        viewport={"width": 390, "height": 844}, offline=True, color_scheme=request.param
    )
    page = context.new_page()
    faults: list[str] = []
    page.on("pageerror", lambda error: faults.append(str(error)))
    page.on("console", lambda told: faults.append(told.text) if told.type == "error" else None)
    page.on(
        "request",
        lambda asked: None if asked.url.startswith(("file:", "data:", "blob:")) else faults.append(asked.url),
    )
    page.goto(sent.as_uri())
    page.get_by_test_id("headline").wait_for()
    yield page
    assert faults == []
    context.close()


def test_it_says_and_draws_the_same_and_can_only_be_read(phone: Page, session: Session, axe: str) -> None:
    told = json.loads(answer_text(session.as_written))
    expect(phone.get_by_test_id("headline")).to_have_text(told["headline"])
    expect(phone.get_by_text("A copy to read, of 2031-05-06")).to_be_visible()
    picture = settled_picture(phone)
    assert (np.abs(picture - picture[2, 2]).max(axis=2) > 24).mean() > 0.03
    section = phone.get_by_role("region", name="The inside, true to scale").get_by_role("img")
    phone.wait_for_function(
        "(image) => image.complete && image.naturalWidth > 0", arg=section.element_handle()
    )
    # What only looks may be moved: a cut, a station, a load case. What would ask a server is not there.
    expect(phone.get_by_role("slider", name="Cut open")).to_have_count(1)
    for name in ("fin span", *(one.name for one in ballast_controls(session.as_written))):
        expect(phone.get_by_role("slider", name=name)).to_have_count(0)
    expect(phone.get_by_role("textbox")).to_have_count(0)
    expect(phone.get_by_role("combobox")).to_have_count(2)
    for name in ("Load case", "Pick a part"):
        expect(phone.get_by_role("combobox", name=name)).to_have_count(1)
    opened_later = "^#(station|separation|swing|stage)-"
    leads_nowhere = f"(a) => !/{opened_later}/.test(a.hash) && !document.getElementById(a.hash.slice(1))"
    assert (
        phone.evaluate(f"[...document.querySelectorAll('a[href^=\"#\"]')].filter({leads_nowhere}).length")
        == 0
    )
    # Sections across and what moves are in it; what is tried is not, so nothing has to be looked at.
    across = phone.get_by_role("img", name="Section across the vehicle")
    before = across.get_attribute("alt")
    phone.get_by_role("region", name="Along the body").get_by_role("slider", name="Station").press("End")
    expect(across).not_to_have_attribute("alt", before)
    expect(phone.get_by_text("This copy holds 24 cuts")).to_be_visible()
    # Every stage with its tables and pictures is in it, each opened when it is wanted.
    phone.get_by_role("button", name="Show the stages").click()
    phone.locator("#stage-strength > summary").click()
    drawn = phone.locator("#picture-strength-loads img")
    phone.wait_for_function("(image) => image.complete && image.naturalWidth > 0", arg=drawn.element_handle())
    expect(phone.locator("#stage-strength table")).not_to_have_count(0)
    phone.get_by_role("button", name="Show what moves").click()
    expect(phone.get_by_role("heading", name="Fins in their swings")).to_be_visible()
    phone.get_by_role("slider", name="the flight").press("End")
    for name in ("Save", "Start", "Try", "Take"):
        expect(phone.get_by_role("button", name=name)).to_have_count(0)
    assert phone.evaluate("document.documentElement.scrollWidth") <= 390
    # Its policy lets no script in, the checker's neither: it looks from outside the page's own world.
    phone.context.new_cdp_session(phone).send("Page.setBypassCSP", {"enabled": True})
    phone.reload()
    phone.get_by_test_id("headline").wait_for()
    phone.evaluate(axe)
    found = phone.evaluate("axe.run(document, { resultTypes: ['violations'] })")
    assert [(fault["id"], [node["html"] for node in fault["nodes"]]) for fault in found["violations"]] == []
