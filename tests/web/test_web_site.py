"""The site's file of a sheet on the page: begun without guesses, refused in its reader's words, saved."""

import shutil
from collections.abc import Callable, Coroutine
from dataclasses import replace
from pathlib import Path

import httpx
import pytest

from finial.core.errors import BuildSheetError, OutsideRange
from finial.files.site import read_site
from finial.files.source import toml_from
from finial.web.app import create_app
from finial.web.desk import ChangedMeanwhile, Desk
from finial.web.drafts.site import USUAL, site_draft
from finial.web.session import Session

from .conftest import PAGE_KEY, with_key

EXAMPLE = Path(__file__).parents[2] / "examples" / "skerry-light"
PORT = 8765
WHOLE = 'name = "Low Meadow"\nground_asl = "12 m"\n'


@pytest.fixture
def sheet(tmp_path: Path) -> Path:
    return Path(shutil.copy(EXAMPLE / "skerry-light.toml", tmp_path))


def test_a_file_that_is_not_there_begins_with_nothing_guessed(sheet: Path) -> None:
    draft = site_draft(sheet)
    page = draft.page(draft.source(), us_units=False)
    assert (page["kind"], page["file"], page["revision"]) == ("site", "site.toml", "")
    assert {fault["field"] for fault in page["faults"]} == {"name", "ground_asl"}
    with pytest.raises(BuildSheetError):
        draft.save(page["text"], "")
    assert not draft.path.exists()


def test_it_is_saved_beside_the_sheet_unless_it_was_changed_meanwhile(sheet: Path) -> None:
    draft = site_draft(sheet)
    draft.save(WHOLE, "")
    assert read_site(sheet.parent / "site.toml").ground_asl.value == pytest.approx(12.0)
    with pytest.raises(ChangedMeanwhile):
        draft.save(WHOLE, "another")


def test_an_outline_without_the_pads_place_is_refused(sheet: Path) -> None:
    (sheet.parent / "field.geojson").write_text("{}", encoding="utf-8")
    page = site_draft(sheet).page(
        toml_from(sheet.with_name(USUAL), WHOLE + 'field = "field.geojson"\n'), us_units=False
    )
    assert "latitude" in page["fault"]


@pytest.mark.parametrize(
    ("named", "file"),
    [
        ("quay.toml", "quay.toml"),
        ("../site.toml", USUAL),
        ("/etc/site.toml", USUAL),
        ("site.txt", USUAL),
        ("skerry-light.toml", USUAL),
    ],
)
def test_only_a_file_of_its_own_in_the_sheets_folder_is_filled_in(sheet: Path, named: str, file: str) -> None:
    text = sheet.read_text(encoding="utf-8")
    assert 'site = "site.toml"' in text
    sheet.write_text(text.replace('site = "site.toml"', f'site = "{named}"'), encoding="utf-8")
    assert site_draft(sheet).path == sheet.parent / file
    sheet.write_text("not TOML", encoding="utf-8")
    assert site_draft(sheet).path == sheet.parent / USUAL


def test_a_site_has_no_lists_to_add_to(sheet: Path) -> None:
    draft = site_draft(sheet)
    with pytest.raises(OutsideRange, match="no list of"):
        draft.start(draft.source(), ("marks",), 0, {})


def test_the_page_edits_and_saves_it_at_addresses_of_its_own(
    session: Session, sheet: Path, in_a_loop_of_its_own: Callable[[Coroutine], object]
) -> None:
    at_desk = replace(session, desk=Desk(path=sheet, refuse=lambda _changes: None))

    async def talk() -> tuple[httpx.Response, ...]:
        transport = httpx.ASGITransport(app=create_app(at_desk, port=PORT, key=PAGE_KEY))
        base = f"http://127.0.0.1:{PORT}"
        async with httpx.AsyncClient(transport=transport, base_url=base, cookies=with_key(PORT)) as client:
            begun = await client.get("/api/site")
            edits = [{"type": "name", "text": "Low Meadow"}, {"type": "ground_asl", "text": "12 m"}]
            edited = await client.post("/api/site/draft", json={"text": begun.json()["text"], "edits": edits})
            saving = {"text": edited.json()["text"], "revision": ""}
            return begun, edited, await client.post("/api/site/draft/save", json=saving)

    begun, edited, saved = in_a_loop_of_its_own(talk())
    assert begun.json()["fault"]
    assert edited.json()["fault"] == ""
    assert saved.status_code == 200
    site = sheet.parent / "site.toml"
    assert saved.json()["revision"]
    assert site.read_text(encoding="utf-8").startswith("# A field to fly from")
    assert read_site(site).name == "Low Meadow"
