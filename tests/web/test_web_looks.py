"""Whole looks at what is tried: found where one was taken, begun once as a job, and said how they ended."""

import json
import shutil
import sys
import time
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path

import pytest

from finial.assemble.vehicle.changes import Changes
from finial.core.errors import OutsideRange
from finial.files.variants import Variants
from finial.findings.readiness import Readiness
from finial.web.jobs.queue import JobQueue
from finial.web.looks import LookState, WholeLooks
from finial.web.session import Session
from finial.web.variant_routes import VariantAnswers

EXAMPLE = Path(__file__).parents[2] / "examples" / "buoy-tiers"
WORKER = """
import json, pathlib, sys, time
folder = pathlib.Path(sys.argv[1])
while not (folder.parent / "finish").exists():
    time.sleep(0.02)
(folder / "ended.json").write_text(json.dumps({"state": "done", "message": ""}))
"""
HEAVIER: Changes = {("item", 0, "mass"): "1.6 kg"}


@dataclass
class Page:
    """A page about one vehicle, with whole looks that a test puts there."""

    session: Session
    taken: dict[str, Readiness] = field(default_factory=dict)


@pytest.fixture
def sheet(tmp_path: Path) -> Path:
    shutil.copytree(EXAMPLE, tmp_path / "buoy")
    return tmp_path / "buoy" / "buoy-tiers.toml"


@pytest.fixture
def queue(sheet: Path, tmp_path: Path) -> Iterator[JobQueue]:
    script = tmp_path / "worker.py"
    script.write_text(WORKER)
    made = JobQueue(sheet, command=(sys.executable, str(script)))
    yield made
    made.close()


@pytest.fixture
def page(session: Session) -> Page:
    made = Page(session)
    made.session = replace(session, whole=lambda changes: made.taken.get(repr(changes)))
    return made


def until_ended(queue: JobQueue) -> None:
    for _ in range(500):
        if queue.listed().jobs[0].state == "done":
            return
        time.sleep(0.02)
    pytest.fail("the job did not end")


def test_a_look_is_begun_once_and_found_when_it_was_taken(page: Page, queue: JobQueue, sheet: Path) -> None:
    looks = WholeLooks(page, queue)
    saved = looks.at({}, start=True)
    assert (saved.state, saved.answer) == (LookState.TAKEN, page.session.as_written)
    assert looks.at(HEAVIER, start=False).state is LookState.NOT_TAKEN
    assert queue.listed().jobs == ()
    for start in (True, True, False):
        assert looks.at(HEAVIER, start=start).state is LookState.ON_ITS_WAY
    assert [job.id for job in queue.listed().jobs] == ["0001-look"]
    asked = json.loads((sheet.with_name("buoy-tiers-jobs") / "0001-look" / "asked.json").read_text())
    assert asked["changes"] == [[["item", 0, "mass"], "1.6 kg"]]
    assert looks.at({("item", 0, "mass"): "1.7 kg"}, start=False).state is LookState.NOT_TAKEN
    page.taken[repr(HEAVIER)] = page.session.as_written
    assert looks.at(HEAVIER, start=False).answer is page.session.as_written


def test_a_look_that_ended_early_or_was_of_another_sheet_is_said_so_and_can_be_begun_anew(
    page: Page, queue: JobQueue, sheet: Path
) -> None:
    looks = WholeLooks(page, queue)
    looks.at(HEAVIER, start=True)
    queue.cancel("0001-look")
    told = looks.at(HEAVIER, start=False)
    assert told.state is LookState.NOT_TAKEN
    assert "ended early (cancelled)" in told.message
    assert looks.at(HEAVIER, start=True).state is LookState.ON_ITS_WAY
    (sheet.with_name("buoy-tiers-jobs") / "finish").touch()
    until_ended(queue)
    assert "of another sheet" in looks.at(HEAVIER, start=False).message


def test_variants_wait_for_whole_looks_and_are_compared_by_them(
    page: Page, queue: JobQueue, sheet: Path
) -> None:
    class Desk:
        def changes(self, typed: Mapping[str, str]) -> Changes:
            return HEAVIER if typed else {}

        def said(self, typed: Mapping[str, str]) -> tuple[str, ...]:
            return tuple(typed)

    page.session = replace(page.session, desk=Desk())
    variants = Variants.of_sheet(sheet)
    variants.keep("heavier", {"item[1].mass": "1.6 kg"})
    wholly: Callable = VariantAnswers(page, variants, WholeLooks(page, queue))._wholly
    waiting = wholly(["", "heavier"], True)
    assert (waiting.found, waiting.on_their_way) == (None, 1)
    page.taken[repr(HEAVIER)] = page.session.as_written
    found = wholly(["", "heavier"], False)
    assert found.on_their_way == 0
    assert [one.name for one in found.found.columns] == ["the sheet as saved", "heavier"]
    page.taken.clear()
    queue.cancel("0001-look")
    with pytest.raises(OutsideRange, match="cancelled"):
        wholly(["", "heavier"], False)
