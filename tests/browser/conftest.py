"""The page of an example in a real headless Chromium, served by the real server."""

import os
import shutil
from collections.abc import Callable, Generator, Iterator
from contextlib import AbstractContextManager, contextmanager
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Browser, Page, Request, expect, sync_playwright
from serving import serving

from finial.web.session import Session

ROOT = Path(__file__).parents[2]
SHEET = ROOT / "examples" / "skerry-light" / "skerry-light.toml"
KEY = "a-key-of-these-tests"
PATIENCE_MS = 30_000
"""How long the page may take: no test is about speed, and the machine may be doing other work."""
CHROMIUM_NAMES = ("chromium", "chromium-browser", "google-chrome")
CHROMIUM_OPTIONS = [
    "--no-sandbox",
    "--use-gl=angle",
    "--use-angle=swiftshader",
    "--enable-unsafe-swiftshader",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
]


@pytest.fixture(scope="session")
def chromium() -> str:
    """Path of the system's Chromium; without one the tests are skipped, but fail in CI."""
    found = next(filter(None, map(shutil.which, CHROMIUM_NAMES)), None)
    if found is None and os.environ.get("CI"):
        pytest.fail(f"CI must have a browser: none of {', '.join(CHROMIUM_NAMES)} is on the path")
    if found is None:
        pytest.skip(f"no browser here: none of {', '.join(CHROMIUM_NAMES)} is on the path")
    return found


@pytest.fixture(scope="session")
def browser(chromium: str) -> Iterator[Browser]:
    expect.set_options(timeout=PATIENCE_MS)
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=chromium, args=CHROMIUM_OPTIONS)
        yield started
        started.close()


@pytest.fixture(scope="session")
def session() -> Session:
    """The lighthouse, loaded once."""
    from finial.findings.check import load
    from finial.web.serve import session_of

    return session_of(load(SHEET))


@contextmanager
def _served(session: Session) -> Generator[str]:
    """Serve one session; give its address."""
    with serving(session, KEY) as port:
        yield f"http://127.0.0.1:{port}/"


@pytest.fixture(scope="session")
def served() -> Callable[[Session], AbstractContextManager[str]]:
    """Serve a session of a test's own."""
    return _served


@pytest.fixture(scope="session")
def address(session: Session) -> Iterator[str]:
    with _served(session) as told:
        yield told


@pytest.fixture
def faults() -> list[str]:
    """What the browser complained about; a test that provokes a complaint takes it out again."""
    return []


OpenPage = Callable[..., Page]


@pytest.fixture
def open_page(browser: Browser, address: str, faults: list[str]) -> Iterator[OpenPage]:
    """Open the page and wait for its verdict; at the end nothing may have gone wrong or left this machine."""
    opened: list[Page] = []

    def note_request(request: Request) -> None:
        # What the page made itself has an address of its own below the page's.
        if not request.url.removeprefix("blob:").startswith(address):
            faults.append(f"asked another address: {request.url}")

    def open_one(
        *, prepare: Callable[[Page], None] | None = None, whole: bool = True, **options: Any
    ) -> Page:
        how: dict[str, Any] = {"viewport": {"width": 1280, "height": 900}, **options}
        page = browser.new_page(**how)
        port = urlsplit(address).port
        page.context.add_cookies([{"name": f"finial-{port}", "value": KEY, "url": address}])
        opened.append(page)
        page.set_default_timeout(PATIENCE_MS)
        page.on(
            "console", lambda said: faults.append(said.text) if said.type in {"error", "warning"} else None
        )
        page.on("pageerror", lambda fault: faults.append(str(fault)))
        page.on("request", note_request)
        if prepare:
            prepare(page)
        page.goto(address)
        page.get_by_test_id("headline").wait_for()
        if whole:
            page.locator("main:not([aria-busy=true])").wait_for()
        return page

    yield open_one
    for page in opened:
        page.close()
    assert faults == []
