"""The day's page in a phone's browser, from the real server: a code, a form, a list that keeps its ticks."""

import re
import threading
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, expect

from finial.findings.today import Today
from finial.report.checklist import Chapter, Tick
from finial.report.phone_page import fields
from finial.web.phone_app import PhoneDay
from finial.web.phone_guard import Codes
from finial.web.phone_serve import phone_server
from finial.web.serve import listen
from finial.web.session import Session


@pytest.fixture(scope="module")
def day(session: Session) -> PhoneDay:
    checked = session.as_written
    return PhoneDay(
        by_sheet=checked,
        revision="abc",
        chapters=(Chapter(title="On the pad", steps=(Tick(text="computer A", stops=True),)),),
        asked=fields(us_units=False, wind_known_to="1 m/s"),
        answer=lambda read: Today(sheet=checked, today=checked, moved=()),
    )


@pytest.fixture
def phone(browser: Browser, day: PhoneDay) -> Iterator[Page]:
    told: list[str] = []
    with listen(0) as listening:
        host = f"127.0.0.1:{listening.getsockname()[1]}"
        server = phone_server(day, host=host, codes=Codes(told.append))
        running = threading.Thread(target=server.run, kwargs={"sockets": [listening]})
        running.start()
        context = browser.new_context(viewport={"width": 390, "height": 844}, is_mobile=True, has_touch=True)
        page = context.new_page()
        page.goto(f"http://{host}/")
        page.fill("[name=code]", re.findall(r"\d{8}", told[0])[0])
        page.click("button")
        yield page
        context.close()
        server.should_exit = True
        running.join(timeout=10)


def test_it_fits_a_phone_asks_and_answers(phone: Page) -> None:
    expect(phone.locator("h1")).to_have_text("Skerry Light")
    phone.fill("[name=wind]", "4")
    phone.click("button[value=ask]")
    expect(phone.get_by_role("heading", name="Today", exact=True)).to_be_visible()
    expect(phone.locator("[name=wind]")).to_have_value("4")
    assert phone.evaluate("document.documentElement.scrollWidth") <= 390
    expect(phone.locator("body")).not_to_have_css("max-width", "none")


def test_ticks_stay_on_the_phone(phone: Page) -> None:
    phone.click("text=Checklist")
    phone.check("[type=checkbox]")
    expect(phone.locator("#done")).to_have_text("1 of 1 done")
    phone.reload()
    assert phone.is_checked("[type=checkbox]")
    assert phone.evaluate("document.documentElement.scrollWidth") <= 390
