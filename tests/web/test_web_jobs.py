"""Long jobs: queued, run beside each other, stopped, gone on with, and still there after a restart."""

import json
import shutil
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from finial.core.errors import OutsideRange
from finial.report.document import ReportSection
from finial.web.jobs.asked import ENDED, RESULT, read_asked
from finial.web.jobs.kinds import KINDS
from finial.web.jobs.queue import JobQueue
from finial.web.jobs.records import JobRefused, JobState, JobView, Outcome, TryRow
from finial.web.jobs.routes import asked_of
from finial.web.jobs.work import Teller, keep, work

EXAMPLE = Path(__file__).parents[2] / "examples" / "buoy-tiers"
WORKER = """
import json, pathlib, sys, time
folder = pathlib.Path(sys.argv[1])
steps = folder / "steps"
for number in range(600):
    steps.write_text(steps.read_text() + "." if steps.exists() else ".")
    if (folder.parent / "finish").exists():
        (folder / "ended.json").write_text(json.dumps({"state": "done", "message": ""}))
        break
    time.sleep(0.02)
"""


@pytest.fixture
def sheet(tmp_path: Path) -> Path:
    folder = tmp_path / "buoy"
    shutil.copytree(EXAMPLE, folder)
    return folder / "buoy-tiers.toml"


@pytest.fixture
def make_queue(sheet: Path, tmp_path: Path) -> Iterator[Callable[[], JobQueue]]:
    """Make queues whose jobs count steps until they are told to finish."""
    script = tmp_path / "worker.py"
    script.write_text(WORKER)
    made: list[JobQueue] = []

    def one() -> JobQueue:
        made.append(JobQueue(sheet, command=(sys.executable, str(script))))
        return made[-1]

    yield one
    for queue in made:
        queue.close()


def job(queue: JobQueue, name: str) -> JobView:
    return next(view for view in queue.listed().jobs if view.id == name)


def until(queue: JobQueue, name: str, state: JobState) -> None:
    for _ in range(500):
        if job(queue, name).state is state:
            return
        time.sleep(0.02)
    pytest.fail(f"{name} is {job(queue, name).state}, not {state}")


def steps_of(sheet: Path, name: str) -> int:
    path = sheet.with_name("buoy-tiers-jobs") / name / "steps"
    return len(path.read_text()) if path.exists() else 0


def until_it_steps(sheet: Path, name: str, more_than: int = 0) -> None:
    for _ in range(500):
        if steps_of(sheet, name) > more_than:
            return
        time.sleep(0.02)
    pytest.fail(f"{name} does nothing")


def test_one_runs_and_the_next_waits_for_it(make_queue: Callable[[], JobQueue], sheet: Path) -> None:
    queue = make_queue()
    first, second = queue.start("look", {}, {}), queue.start("mend", {}, {})
    assert (first, second) == ("0001-look", "0002-mend")
    assert [view.state for view in queue.listed().jobs] == [JobState.WAITING, JobState.RUNNING]
    (sheet.with_name("buoy-tiers-jobs") / "finish").touch()
    until(queue, first, JobState.DONE)
    until(queue, second, JobState.DONE)


def test_campaigns_tell_where_they_keep_their_flights(
    make_queue: Callable[[], JobQueue], sheet: Path
) -> None:
    queue = make_queue()
    queue.start("look", {}, {})
    assert queue.campaigns() == ()
    queue.start("campaign", {}, {})
    assert queue.campaigns() == (sheet.with_name("buoy-tiers-jobs") / "0002-campaign" / "flights",)


def test_as_many_as_allowed_run_beside_each_other(make_queue: Callable[[], JobQueue]) -> None:
    queue = make_queue()
    queue.cores = 2
    for _ in range(3):
        queue.start("look", {}, {})
    queue.set_at_once(2)
    states = [view.state for view in queue.listed().jobs]
    assert states == [JobState.WAITING, JobState.RUNNING, JobState.RUNNING]
    for wrong in (0, 3):
        with pytest.raises(JobRefused, match="1 to 2"):
            queue.set_at_once(wrong)


def test_cancelled_it_stops_at_once_and_goes_on_where_it_was(
    make_queue: Callable[[], JobQueue], sheet: Path
) -> None:
    queue = make_queue()
    name = queue.start("campaign", {"flights": 100}, {})
    until_it_steps(sheet, name)
    queue.cancel(name)
    done = steps_of(sheet, name)
    time.sleep(0.2)
    assert steps_of(sheet, name) == done
    assert job(queue, name).state is JobState.CANCELLED
    with pytest.raises(JobRefused, match="ended already"):
        queue.cancel(name)
    queue.go_on(name)
    until_it_steps(sheet, name, more_than=done)
    with pytest.raises(JobRefused, match="cancel it first"):
        queue.forget(name)


def test_a_waiting_job_is_cancelled_without_ever_starting(
    make_queue: Callable[[], JobQueue], sheet: Path
) -> None:
    queue = make_queue()
    queue.start("look", {}, {})
    name = queue.start("look", {}, {})
    queue.cancel(name)
    assert job(queue, name).state is JobState.CANCELLED
    assert steps_of(sheet, name) == 0


def test_a_restart_forgets_nothing_and_what_ran_can_be_gone_on_with(
    make_queue: Callable[[], JobQueue], sheet: Path
) -> None:
    first = make_queue()
    name = first.start("campaign", {"flights": 300, "seed": 7}, {("vehicle", "note"): "tried"})
    until_it_steps(sheet, name)
    first.close()
    then = make_queue()
    view = job(then, name)
    assert view.state is JobState.STOPPED
    assert view.about == "300 flights, seed 7, odds as counted, on the sheet with 1 change tried"
    (sheet.with_name("buoy-tiers-jobs") / "finish").touch()
    then.go_on(name)
    until(then, name, JobState.DONE)
    assert job(make_queue(), name).state is JobState.DONE


def test_of_an_earlier_sheet_it_is_marked_and_not_gone_on_with(
    make_queue: Callable[[], JobQueue], sheet: Path
) -> None:
    queue = make_queue()
    name = queue.start("look", {}, {})
    queue.cancel(name)
    assert job(queue, name).of_now
    sheet.write_text(sheet.read_text(encoding="utf-8") + "\n# a comment\n", encoding="utf-8")
    assert not job(queue, name).of_now
    with pytest.raises(JobRefused, match="changed since"):
        queue.go_on(name)
    queue.forget(name)
    assert queue.listed().jobs == ()


def test_numbers_go_on_where_jobs_were_thrown_away_between(make_queue: Callable[[], JobQueue]) -> None:
    queue = make_queue()
    for name in (queue.start("look", {}, {}), queue.start("look", {}, {})):
        queue.cancel(name)
    queue.forget("0001-look")
    assert queue.start("look", {}, {}) == "0003-look"


@pytest.mark.parametrize(
    ("kind", "settings", "says"),
    [
        ("picnic", {}, "no job is called"),
        ("look", {"flights": 5}, "has no setting"),
        ("campaign", {"flights": 99}, "100 to 1000000"),
        ("campaign", {"flights": 1_000_001}, "100 to 1000000"),
    ],
)
def test_what_cannot_be_asked_leaves_nothing_behind(
    make_queue: Callable[[], JobQueue], sheet: Path, kind: str, settings: dict[str, int], says: str
) -> None:
    with pytest.raises(JobRefused, match=says):
        make_queue().start(kind, settings, {})
    assert not sheet.with_name("buoy-tiers-jobs").exists()


@pytest.mark.parametrize("name", ["..", "../buoy", "0001-look/../..", "0001-look\0", "", "0009-look"])
def test_no_name_leads_out_of_the_folder(make_queue: Callable[[], JobQueue], name: str) -> None:
    queue = make_queue()
    queue.start("look", {}, {})
    for ask in (queue.cancel, queue.forget, queue.go_on, queue.result):
        with pytest.raises(JobRefused):
            ask(name)
    with pytest.raises(JobRefused):
        queue.picture("0001-look", f"../{name}")


def test_a_link_in_place_of_a_job_is_not_followed(
    make_queue: Callable[[], JobQueue], sheet: Path, tmp_path: Path
) -> None:
    queue = make_queue()
    queue.cancel(queue.start("look", {}, {}))
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    (sheet.with_name("buoy-tiers-jobs") / "0002-look").symlink_to(elsewhere)
    with pytest.raises(JobRefused, match="no such job"):
        queue.forget("0002-look")
    assert elsewhere.is_dir()


def test_what_was_asked_comes_back_as_it_was(make_queue: Callable[[], JobQueue], sheet: Path) -> None:
    changes = {("fin", 0, "count"): 4, ("item", 1, "mass"): "1 kg", ("rod", 0, "stations"): ["1 mm", "2 mm"]}
    name = make_queue().start("campaign", {"flights": 200}, changes)
    asked = read_asked(sheet.with_name("buoy-tiers-jobs") / name)
    assert asked.changes == changes
    assert asked.settings == {"flights": 200, "seed": 1, "rare": 0}


def test_the_time_left_is_what_the_pace_so_far_gives(tmp_path: Path) -> None:
    teller = Teller(folder=tmp_path)
    assert teller.left_s(0.0) is None
    # A quarter was done at the start; in 10 s another quarter: half is left, at a quarter in 10 s.
    teller.first, teller.share_now = (100.0, 0.25), 0.5
    assert teller.left_s(110.0) == pytest.approx(20.0)
    assert teller.left_s(101.0) is None


def test_a_failure_is_kept_in_words(sheet: Path, make_queue: Callable[[], JobQueue]) -> None:
    queue = make_queue()
    name = queue.start("look", {}, {("vehicle", "up"): "sideways"})
    queue.cancel(name)
    folder = sheet.with_name("buoy-tiers-jobs") / name
    work(folder)
    assert json.loads((folder / ENDED).read_text())["state"] == "failed"
    assert "sideways" in job(queue, name).message


DRAWN = "<svg><title>Fins &amp; modes</title><desc>They swing.</desc></svg>"


def test_what_is_found_is_kept_with_its_pictures(tmp_path: Path) -> None:
    section = ReportSection(key="odds", title="Odds", facts=(("lands", "all"),))
    outcome = Outcome(
        headline="It is so.",
        sections=(section,),
        pictures={"fin-modes": DRAWN},
        tries=(TryRow(label="1", change={"item[1].mass": "2 kg"}),),
    )
    keep(tmp_path, outcome)
    told = json.loads((tmp_path / RESULT).read_text())
    assert told["pictures"] == [{"name": "fin-modes", "title": "Fins & modes", "says": "They swing."}]
    assert told["sections"][0]["facts"] == [["lands", "all"]]
    assert (tmp_path / "fin-modes.svg").read_text() == DRAWN


def test_the_usual_of_every_setting_lies_within_its_ends() -> None:
    settings = [one for entry in KINDS.values() for one in entry.kind.settings]
    assert len(settings) >= 4
    assert all(one.low <= one.start <= one.high for one in settings)


@pytest.mark.parametrize(
    "given", [{}, {"kind": 3.0}, {"kind": "look", "settings": []}, {"kind": "look", "settings": {"a": 1.5}}]
)
def test_a_question_that_is_none_is_refused(given: dict[str, object]) -> None:
    with pytest.raises(OutsideRange):
        asked_of(given)
