"""The site: built without a warning, all pages in its menu, all links lead somewhere, nothing from afar."""

import json
import re
import subprocess
import sys
from html.parser import HTMLParser
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
DOCS = ROOT / "docs"


class Page(HTMLParser):
    """Places on a page, and what it leads to or loads."""

    def __init__(self, path: Path) -> None:
        super().__init__()
        self.ids: set[str] = set()
        self.links: list[str] = []
        self.loads: list[str] = []
        self.feed(path.read_text(encoding="utf-8"))

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        self.ids |= {given[key] for key in ("id", "name") if given.get(key)}
        if tag == "a" and given.get("href"):
            self.links.append(given["href"])
        if tag in ("script", "img", "iframe", "source") and given.get("src"):
            self.loads.append(given["src"])
        if tag == "link" and given.get("rel") not in ("canonical",) and given.get("href"):
            self.loads.append(given["href"])


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("site")
    command = [sys.executable, "-m", "sphinx", "-W", "--keep-going", "-q", "-b", "html"]
    made = subprocess.run(
        [*command, "-d", str(folder / "kept"), str(DOCS), str(folder / "html")],
        capture_output=True,
        text=True,
        check=False,
    )
    assert made.returncode == 0, made.stderr
    return folder / "html"


@pytest.fixture(scope="module")
def pages(built: Path) -> dict[Path, Page]:
    return {path: Page(path) for path in built.rglob("*.html")}


def test_every_page_of_the_folder_is_on_the_site(built: Path) -> None:
    written = [path for pattern in ("*.md", "*.rst") for path in DOCS.glob(pattern)]
    assert len(written) > 30
    for path in written:
        assert (built / path.with_suffix(".html").name).is_file(), path.name


def test_every_link_leads_to_a_page_and_a_place_on_it(built: Path, pages: dict[Path, Page]) -> None:
    seen = 0
    for path, page in pages.items():
        for link in page.links:
            if re.match(r"(https?|mailto):", link):
                continue
            target, _, place = link.partition("#")
            led_to = (path.parent / target).resolve() if target else path
            assert led_to.is_file(), f"{path.name}: {link}"
            if place and led_to in pages:
                assert place in pages[led_to].ids, f"{path.name}: {link}"
                seen += 1
    assert seen > 500


def test_nothing_is_loaded_from_outside(built: Path, pages: dict[Path, Page]) -> None:
    for path, page in pages.items():
        for one in page.loads:
            assert not re.match(r"(?:https?:)?//", one), f"{path.name} loads {one}"
    for style in built.rglob("*.css"):
        text = style.read_text(encoding="utf-8")
        assert not re.search(r"(?:url\(|@import)\s*['\"]?(?:https?:)?//", text), style.name


def test_the_search_finds_what_stands_on_a_page(built: Path) -> None:
    text = (built / "searchindex.js").read_text(encoding="utf-8")
    index = json.loads(text[text.index("{") : text.rindex("}") + 1])
    found = index["terms"]["zipper"]
    names = [index["docnames"][at] for at in (found if isinstance(found, list) else [found])]
    assert "why-a-zipper" in names


def test_the_library_is_told_by_its_own_words(built: Path) -> None:
    text = (built / "api.html").read_text(encoding="utf-8")
    import finial.face

    for name in finial.face.__all__:
        assert f"finial.face.{name}" in text, name
    assert (finial.face.Vehicle.with_.__doc__ or "nothing").strip().splitlines()[0][:30] in re.sub(
        r"<[^>]+>", "", text
    )
