"""Days of -30 and +50 degC: every look answers, and what a range safety officer would fear there is found."""

import math
import sys
from pathlib import Path

import pytest

from finial.findings.check import load, readiness
from finial.findings.finding import Verdict
from finial.findings.readiness import Readiness

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT / "tests" / "defects"))
EXAMPLES = ("skerry-light", "buoy-tiers", "pagoda", "phone-box")
ODD = ("teapot", "arch")
COLD, HOT = "-30 degC +- 3 degC", "50 degC +- 3 degC"


@pytest.fixture(scope="module")
def sheets(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    from odd_shapes import written

    odd = written(tmp_path_factory.mktemp("odd"))
    return {name: ROOT / "examples" / name / f"{name}.toml" for name in EXAMPLES} | odd


@pytest.fixture(scope="module", params=[*EXAMPLES, *ODD])
def days(request: pytest.FixtureRequest, sheets: dict[str, Path]) -> tuple[Readiness, Readiness]:
    """One vehicle on the cold and on the hot day."""
    vehicle = load(sheets[request.param])
    cold, hot = (readiness(vehicle, {("launch", "temperature"): day}) for day in (COLD, HOT))
    return cold, hot


def named(day: Readiness, key: str) -> list:
    return [one for one in day.findings if one.key == key]


def test_every_look_answers_on_both_days(days: tuple[Readiness, Readiness]) -> None:
    for day in days:
        assert day.strength_study is not None
        assert day.recovery_study is not None
        assert not {"strength-looked", "recovery-looked"} & {one.key for one in day.findings}
        for one in day.findings:
            if one.value is not None:
                assert one.value.low <= one.value.value <= one.value.high, one.key
                assert math.isfinite(one.value.value), one.key


def test_cold_air_is_thicker(days: tuple[Readiness, Readiness]) -> None:
    """Density as 1/T (ideal gas): what falls in equal air falls by the root of 243/323 slower."""
    cold, hot = days
    if cold.recovery.landing_speed is None or hot.recovery.landing_speed is None:
        pytest.fail("no landing speed")
    ratio = cold.recovery.landing_speed.value / hot.recovery.landing_speed.value
    assert ratio == pytest.approx(math.sqrt(243.15 / 323.15), rel=0.03)


def test_no_cold_battery_is_trusted(days: tuple[Readiness, Readiness]) -> None:
    """Half is left at -18 degC (handbooks): at -30 nobody knows, and a larger one is no advice."""
    cold, _ = days
    pads = named(cold, "pad-time")
    assert pads
    assert all(one.verdict is Verdict.NOT_KNOWN for one in pads)
    assert all(not one.value.inside_range for one in pads if one.value is not None)
    assert {fix.key for one in pads for fix in one.fixes} == {"keep-warm"}


def test_neither_day_is_a_go(days: tuple[Readiness, Readiness]) -> None:
    assert all(day.verdict > Verdict.CAUTION for day in days)


def test_pins_hold_more_in_the_cold_and_less_in_the_heat(days: tuple[Readiness, Readiness]) -> None:
    cold, hot = days
    for then, now in zip(cold.recovery.charges, hot.recovery.charges, strict=True):
        if then.pins_hold is None or now.pins_hold is None:
            continue
        assert then.pins_hold.high > 1.25 * now.pins_hold.high
        assert then.pins_hold.low > 1.25 * now.pins_hold.low


def test_thrust_is_less_sure_than_its_curve_on_both_days(days: tuple[Readiness, Readiness]) -> None:
    """By 0.28 % for each kelvin outside 10 to 30 degC: 43 in this cold, 23 in this heat."""
    for day, kelvins in zip(days, (43.0, 23.0), strict=True):
        ratio = day.flight.thrust_to_weight
        assert ratio.high / ratio.value - 1.0 > 0.0028 * kelvins
        assert 1.0 - ratio.low / ratio.value > 0.0028 * kelvins


def test_hot_walls_are_not_trusted(days: tuple[Readiness, Readiness]) -> None:
    """Walls of a dark print are far above the air: at 50 degC some check of warm plastic is no go."""
    _, hot = days
    warm = [one for one in hot.findings if one.key in ("soft-in-the-sun", "warm-part", "holds-when-warm")]
    assert any(one.verdict > Verdict.GO for one in warm)


def test_no_print_is_trusted_in_this_cold(days: tuple[Readiness, Readiness]) -> None:
    """Impact strengths fall in the cold: at -30 degC no table of this project says what is left."""
    cold, hot = days
    assert [one.verdict for one in named(cold, "brittle-in-the-cold")] == [Verdict.NOT_KNOWN]
    assert [one.verdict for one in named(hot, "brittle-in-the-cold")] == [Verdict.GO]
