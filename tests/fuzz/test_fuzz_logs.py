"""Logs and mappings with anything in them: read, or refused in clear words."""

import numpy as np
import pytest
from fuzz_trial import RUN
from hypothesis import given
from hypothesis import strategies as st
from odd_values import bitten, changed, toml_of

from finial.atmosphere.day import standard_day
from finial.files.flight_log.guess import guesses, mapping_text
from finial.files.flight_log.mapping import read_mapping
from finial.files.flight_log.read import read_log
from finial.files.flight_log.rows import log_text
from finial.files.source import read_toml
from finial.logbook.reading import reading
from finial.logbook.rehearsal import MAPPING
from finial.logbook.story import story

DAY = standard_day(200.0, 288.15)
HEADING = "time (s),pressure (hPa),felt x (g),felt y (g),felt z (g)"


def small_log() -> bytes:
    """A flight of four seconds at ten rows a second."""
    times = np.arange(0.0, 6.0, 0.1)
    since = np.clip(times - 2.0, 0.0, None)
    heights = 20.0 * since**2 * (since < 2.0) + np.where(since < 2.0, 0.0, 80.0)
    felt = np.where(since == 0.0, 1.0, np.where(since < 1.5, 5.0, 0.0))
    rows = [
        f"{time:.2f},{990.0 - 0.12 * height:.2f},{g:.3f},{0.01 * (n % 3):.3f},{-0.01 * (n % 4):.3f}"
        for n, (time, height, g) in enumerate(zip(times, heights, felt, strict=True))
    ]
    return "\n".join([HEADING, *rows, ""]).encode()


LOG = small_log()
PLAIN = MAPPING.partition("[turning]")[0]


def told(folder):
    """Everything that is done with a log, as the command does it."""
    text = log_text(folder / "a.csv")
    mapping_text(text, guesses(text))
    read = reading(read_log(folder / "a.csv", read_mapping(folder / "a.toml")), DAY)
    return story(read, tilt_rad=0.05, rail_m=2.0)


def test_the_small_log_is_told_untouched(tmp_path):
    (tmp_path / "a.csv").write_bytes(LOG)
    (tmp_path / "a.toml").write_text(PLAIN, encoding="utf-8")
    assert told(tmp_path).happenings


@pytest.mark.parametrize("kind", ["bytes", "cells", "text"])
@RUN
@given(data=st.data())
def test_logs(trial, tmp_path, kind, data):
    log = tmp_path / "a.csv"
    if kind == "bytes":
        log.write_bytes(data.draw(bitten(LOG)))
    elif kind == "text":
        log.write_text(data.draw(st.text(max_size=300)), encoding="utf-8", errors="replace")
    else:
        rows = [line.split(",") for line in LOG.decode().splitlines()]
        for _ in range(data.draw(st.integers(1, 12))):
            row = data.draw(st.integers(1, len(rows) - 1))
            odd = st.sampled_from(["", "nan", "inf", "-1e308", "1e9", "x", "0", "-3", "99999999", "1_0"])
            rows[row][data.draw(st.integers(0, len(rows[row]) - 1))] = data.draw(odd)
        log.write_text("\n".join(",".join(row) for row in rows), encoding="utf-8")
    (tmp_path / "a.toml").write_text(PLAIN, encoding="utf-8")
    trial.call(told, tmp_path)


@RUN
@given(data=st.data())
def test_mappings(trial, tmp_path, data):
    (tmp_path / "a.csv").write_bytes(LOG)
    (tmp_path / "good.toml").write_text(PLAIN, encoding="utf-8")
    source = read_toml(tmp_path / "good.toml")
    if data.draw(st.booleans()):
        (tmp_path / "a.toml").write_text(toml_of(data.draw(changed(source.values))), encoding="utf-8")
    else:
        (tmp_path / "a.toml").write_bytes(data.draw(bitten(PLAIN.encode())))
    trial.call(told, tmp_path)
