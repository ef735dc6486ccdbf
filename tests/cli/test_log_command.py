"""``finial log``: a mapping proposed, then the log read and told, as text and as JSON."""

import json
import shutil
from pathlib import Path

import pytest

from finial.logbook.prediction import predicted
from finial.logbook.rehearsal import MAPPING, Sensors, rehearsed

BUOY = Path(__file__).parents[2] / "examples" / "buoy-tiers" / "buoy-tiers.toml"


@pytest.fixture(scope="module")
def rehearsal(buoy):
    foreseen = predicted(buoy)
    return rehearsed(foreseen.trace, foreseen.day, Sensors(kick_m_s2=250.0), 4).csv()


@pytest.fixture
def log(tmp_path, rehearsal):
    path = tmp_path / "flight.csv"
    path.write_text(rehearsal, encoding="utf-8")
    return path


def test_without_a_mapping_one_is_proposed_and_nothing_written(finial, log):
    done = finial("log", BUOY, log, "--quiet")
    assert done.code == 2
    assert '[pressure]\ncolumn = "pressure (hPa)"\nunit = "hPa"' in done.out
    assert 'up = "+x"  # felt 1 g on the pad' in done.out
    assert "flight.toml is not there" in done.err
    assert not log.with_suffix(".toml").exists()


def test_a_log_is_told(finial, log):
    log.with_suffix(".toml").write_text(MAPPING, encoding="utf-8")
    done = finial("log", BUOY, log, "--quiet")
    assert done.code == 0
    rows = {line.strip().split("  ")[0]: line for line in done.out.splitlines() if line.startswith("  ")}
    assert "two sensors" in rows["apogee"]
    assert "at least 25" in rows["largest kick at separation"]
    assert "Nothing is written: ask with --write." in done.out
    assert "High-power rocketry hurts people." in done.out


def test_a_log_as_json(finial, log, tmp_path):
    (tmp_path / "other.toml").write_text(MAPPING, encoding="utf-8")
    done = finial("log", BUOY, log, "--quiet", "--json", "--mapping", tmp_path / "other.toml")
    whole = json.loads(done.out)
    (told,) = whole["logs"]
    assert whole["changes"]
    assert whole["refit"]["misfit"] < 1.5
    assert [one["kind"] for one in told["happenings"]][:3] == ["lift-off", "rail exit", "burnout"]
    assert told["highest_m"] == pytest.approx(773.0, abs=3.0)


def test_a_log_that_cannot_be_read_is_said_with_its_line(finial, log):
    log.with_suffix(".toml").write_text(MAPPING.replace('"pressure (hPa)"', '"pressure"'), encoding="utf-8")
    done = finial("log", BUOY, log, "--quiet")
    assert done.code == 2
    assert "flight.csv:1: pressure" in done.err
    assert "did you mean pressure (hPa)?" in done.err


def test_in_a_terminal_it_asks_and_writes(finial, log, monkeypatch):
    import click

    from finial.cli import log_command

    monkeypatch.setattr(log_command, "_is_terminal", lambda: True)
    asked = []
    monkeypatch.setattr(click, "prompt", lambda question, **_: (asked.append(question), "+x")[1])
    monkeypatch.setattr(click, "confirm", lambda _: True)
    done = finial("log", BUOY, log, "--quiet")
    assert done.code == 0
    assert len(asked) == 1
    assert "turning: up" in asked[0]
    assert log.with_suffix(".toml").is_file()


@pytest.mark.usefixtures("no_advice")
def test_written_only_when_asked_and_the_next_flight_is_judged(finial, log, tmp_path):
    folder = tmp_path / "it"
    shutil.copytree(BUOY.parent, folder)
    sheet = folder / BUOY.name
    before = sheet.read_text(encoding="utf-8")
    log.with_suffix(".toml").write_text(MAPPING, encoding="utf-8")
    assert finial("log", sheet, log, "--quiet").code == 0
    assert sheet.read_text(encoding="utf-8") == before
    done = finial("log", sheet, log, "--quiet", "--write", "--next")
    assert done.code == 0
    assert "The next flight beside the sheet" in done.out
    assert "Findings on the next flight" in done.out
    assert "Written into the sheet" in done.out
    written = sheet.read_text(encoding="utf-8")
    assert "flown = { drag = " in written
    assert 'logs = "flight.csv"' in written


def test_two_logs_of_one_flight(finial, log, tmp_path):
    log.with_suffix(".toml").write_text(MAPPING, encoding="utf-8")
    second = tmp_path / "second.csv"
    second.write_text("\n".join(log.read_text(encoding="utf-8").splitlines()[:4000]), encoding="utf-8")
    done = finial("log", BUOY, log, second, "--quiet", "--mapping", log.with_suffix(".toml"))
    assert done.code == 0
    assert "What was read: second.csv" in done.out
    assert "The log ends before the landing" in done.out


def test_a_video_beside_a_log_is_told_and_alone_it_is_refused(finial, log, tmp_path):
    log.with_suffix(".toml").write_text(MAPPING, encoding="utf-8")
    video = tmp_path / "ground.toml"
    video.write_text("frames_per_second = 30\n[frame]\nlift_off = 90\nlanding = 5100\n", encoding="utf-8")
    done = finial("log", BUOY, log, video, "--quiet")
    assert done.code == 0
    assert "What the video shows: ground.toml" in done.out
    alone = finial("log", BUOY, video, "--quiet")
    assert alone.code == 2
    assert "frames of a video alone" in alone.err


def test_a_track_needs_no_mapping(finial, tmp_path):
    track = tmp_path / "flight.gpx"
    track.write_text("<gpx><!DOCTYPE a></gpx>", encoding="utf-8")
    done = finial("log", BUOY, track, "--quiet")
    assert done.code == 2
    assert "flight.gpx:1" in done.err


def test_kept_flights_count_for_the_next_one_and_never_silently(finial, log, tmp_path):
    sheet = tmp_path / "it" / BUOY.name
    shutil.copytree(BUOY.parent, sheet.parent)
    log.with_suffix(".toml").write_text(MAPPING, encoding="utf-8")
    first = finial("log", sheet, log, "--quiet", "--keep", "1 first", "--repaired", "the mast")
    assert first.code == 0
    assert "The logbook" not in first.out
    kept = sheet.parent / "logbook" / "1 first.toml"
    assert 'repaired = "the mast"' in kept.read_text(encoding="utf-8")
    curves = json.loads((kept.parent / "1 first.curves.json").read_text(encoding="utf-8"))
    assert len(curves["times_s"]) == len(curves["predicted"]["height_m"]) > 500
    assert curves["events"][0]["kind"] == "lift-off"
    before = sheet.read_text(encoding="utf-8")
    second = tmp_path / "second.csv"
    second.write_text(log.read_text(encoding="utf-8"), encoding="utf-8")
    second.with_suffix(".toml").write_text(MAPPING, encoding="utf-8")
    told = finial("log", sheet, second, "--quiet")
    assert "The logbook: 2 flights together" in told.out
    assert "1 first: " in told.out
    assert sheet.read_text(encoding="utf-8") == before
    void = finial("log", sheet, second, "--quiet", "--keep", "2 second", "--void", "colour")
    assert void.code == 2
    assert "accepted are" in void.err
    assert not (kept.parent / "2 second.toml").exists()
