"""Every record of the recovery has words, in either system of units."""

import pytest

from finial.assemble.recovery.records import Barometer, EventRow, Happening, OrderStudy, ShotSaid, ShotTold
from finial.assemble.recovery.results import (
    EarlyPull,
    LandingPiece,
    PackDoubt,
    PackDoubtKind,
    PullKind,
)
from finial.core.estimates import exact
from finial.electronics.wiring import Moment, Trigger
from finial.flight.trace import EventKind
from finial.recovery.packs.packing import Fit
from finial.report.recovery_words import (
    FITS,
    PIECES,
    accelerometer_words,
    barometer_words,
    doubt_words,
    event_words,
    kind_words,
    pull_words,
    told_words,
)
from finial.report.shown import Shown

METRIC, US = Shown(us_units=False), Shown(us_units=True)


def row(kind, **change) -> EventRow:
    given = {
        "time_s": 8.0,
        "name": "main",
        "height_m": 300.0,
        "speed_m_s": 5.0,
        "pressure_rate_pa_s": -1000.0,
        "barometer": Barometer.RATE,
        "lag_m": None,
        "felt_g": 1.2,
    }
    return EventRow(kind=kind, **{**given, **change})


def order(**change) -> OrderStudy:
    given = {
        "events": 3,
        "parts_bare": False,
        "joints": (),
        "rows": (),
        "burnout_s": None,
        "apogee_s": None,
        "top_mach": 0.2,
        "backup_at_once": False,
        "no_delay": False,
    }
    return OrderStudy(**{**given, **change})


@pytest.mark.parametrize("kind", PackDoubtKind)
def test_every_doubt_about_a_pack_is_said(kind) -> None:
    said = doubt_words(PackDoubt(kind=kind, name="long cord", number=0.06), US)
    assert said.endswith(".")
    assert "{" not in said
    assert "mm" not in said


def test_a_narrow_mouth_is_told_in_the_builder_s_units() -> None:
    doubt = PackDoubt(kind=PackDoubtKind.NARROW_MOUTH, number=0.06)
    assert "60 mm" in doubt_words(doubt, METRIC)
    assert "2.36 in" in doubt_words(doubt, US)


@pytest.mark.parametrize("kind", PullKind)
def test_every_pull_has_a_name(kind) -> None:
    assert pull_words(EarlyPull(kind=kind, canopy="drogue", force=exact(1.0)))


def test_every_fit_and_piece_has_a_name() -> None:
    assert set(FITS) == set(Fit)
    assert set(PIECES) == set(LandingPiece)


@pytest.mark.parametrize(
    ("moment", "words"),
    [
        (Moment(trigger=Trigger.APOGEE), "main fires (apogee)"),
        (Moment(trigger=Trigger.FALLING, value=200.0), "main fires (falling through 200 m)"),
        (Moment(trigger=Trigger.CLOCK, value=9.5), "main fires (9.5 s after lift-off)"),
    ],
)
def test_a_charge_tells_when_it_fires(moment, words) -> None:
    assert event_words(row(Happening.CHARGE, moment=moment), METRIC) == words


def test_what_happens_and_what_sensors_make_of_it() -> None:
    assert event_words(row(EventKind.APOGEE, name=""), METRIC) == "apogee"
    assert event_words(row(EventKind.OUT), METRIC) == "main out"
    assert "tumbling" in event_words(row(Happening.TUMBLES, name=""), METRIC)
    assert "kick" in accelerometer_words(row(Happening.CHARGE))
    assert "jerks" in accelerometer_words(row(EventKind.OPEN))
    assert accelerometer_words(row(EventKind.APOGEE)) == "1.2 g"
    assert barometer_words(row(EventKind.APOGEE), METRIC) == "falling 1 kPa a second"
    assert barometer_words(row(EventKind.APOGEE, pressure_rate_pa_s=500.0, lag_m=2.0), METRIC).startswith(
        "rising"
    )
    assert "not to be trusted" in barometer_words(row(EventKind.APOGEE, barometer=Barometer.SHOCKS), METRIC)
    assert "steady" in barometer_words(row(EventKind.APOGEE, barometer=Barometer.STEADY), METRIC)


def test_kinds_of_recovery() -> None:
    assert kind_words(order()) == "3 events"
    assert kind_words(order(events=1, parts_bare=True)).startswith("single event; drogue-less")


@pytest.mark.parametrize("said", ShotSaid)
def test_every_shot_on_the_ground_says_what_it_changed(said) -> None:
    told = ShotTold(said=said, powder_kg=0.9e-3, speed_m_s=4.2, share=exact(0.5))
    assert told_words(told, METRIC).startswith("0.9 g ")
    assert ("50 %" in told_words(told, METRIC)) == (said is ShotSaid.POWDER_SHARE)
