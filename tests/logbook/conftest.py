"""The drawn example's flight, flown once, and the log that sensors would have kept of it."""

from pathlib import Path

import pytest

from finial.files.flight_log.mapping import read_mapping
from finial.files.flight_log.read import read_log
from finial.findings.check import load
from finial.logbook.prediction import predicted
from finial.logbook.reading import reading
from finial.logbook.rehearsal import MAPPING, rehearsed
from finial.logbook.story import story

BUOY = Path(__file__).parents[2] / "examples" / "buoy-tiers" / "buoy-tiers.toml"


@pytest.fixture(scope="session")
def foreseen():
    """What is predicted for the drawn example."""
    return predicted(load(BUOY))


@pytest.fixture
def told(tmp_path, foreseen):
    """Write a log, read it back by its mapping, and say what it tells."""

    def tell(text, mapping=MAPPING):
        (tmp_path / "log.csv").write_text(text, encoding="utf-8")
        (tmp_path / "log.toml").write_text(mapping, encoding="utf-8")
        columns = read_log(tmp_path / "log.csv", read_mapping(tmp_path / "log.toml"))
        return story(reading(columns, foreseen.day), tilt_rad=foreseen.tilt_rad, rail_m=foreseen.rail_m)

    return tell


@pytest.fixture
def rehearse(foreseen):
    """Rehearse a log of the predicted flight."""

    def made(sensors, seed=1):
        return rehearsed(foreseen.trace, foreseen.day, sensors, seed)

    return made
