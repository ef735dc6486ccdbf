"""A save that changes a mesh changes the hull that is drawn."""

import shutil
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager
from pathlib import Path

import numpy as np
import pytest
from playwright.sync_api import Page, expect
from untried import untried

from finial.findings.check import load
from finial.web.serve import session_of
from finial.web.session import Session

from .test_page import settled_picture

ROOT = Path(__file__).parents[2]
OpenPage = Callable[..., Page]


@pytest.fixture
def sheet(tmp_path: Path) -> Path:
    folder = tmp_path / "buoy"
    shutil.copytree(ROOT / "examples" / "buoy-tiers", folder)
    return folder / "buoy-tiers.toml"


@pytest.fixture
def address(sheet: Path, served: Callable[[Session], AbstractContextManager[str]]) -> Iterator[str]:
    with untried(), served(session_of(load(sheet))) as told:
        yield told


def test_after_a_save_the_hull_is_the_new_one(open_page: OpenPage, sheet: Path) -> None:
    page = open_page()
    before = settled_picture(page)
    text = sheet.read_text(encoding="utf-8")
    wider = text.replace('across = "190 mm", height = "120 mm"', 'across = "260 mm", height = "120 mm"')
    assert wider != text
    sheet.write_text(wider, encoding="utf-8")
    page.get_by_role("button", name="Read it again").click()
    expect(page.get_by_text("was changed on disk")).to_have_count(0, timeout=120_000)
    expect(page.get_by_test_id("glance")).not_to_contain_text("Old")
    changed = np.abs(settled_picture(page) - before).max(axis=2) > 24
    # The rim of the float stands out above and below: hull where paper was, over a tenth of the length.
    assert changed.mean() > 0.02
