"""The limits that no code sets, against what the trade says."""

import math

import pytest

from finial.core.errors import MissingData
from finial.core.estimates import exact
from finial.core.tables import table_rows
from finial.findings.finding import Verdict
from finial.findings.judge import margin_at_least, margin_at_most
from finial.findings.limits import Limits
from finial.findings.rules.limits_rules import HIGHER_IS_STRICTER, LOWER_IS_STRICTER, limits_findings
from finial.report.finding_words import what_to_change

# FLT-07, common practice without source: rail exit 13 to 15 m/s at the least and about four times the
# wind; thrust to weight 5 usual, 3 the floor; one to two calibres of margin.
PRACTICE = {
    "rail_exit_speed": (13.0, 15.0),
    "rail_exit_wind_ratio": (4.0, 4.0),
    "thrust_to_weight": (5.0, 5.0),
    "thrust_to_weight_floor": (3.0, 3.0),
    "margin_widths": (1.0, 2.0),
    "landing_speed": (15 * 0.3048, 20 * 0.3048 + 0.01),
    "landing_energy": (101.6, 101.8),
}


# Every limit and the number beyond which it is none, typed a second time from its source in limits.csv.
RETYPED = {
    "margin_widths": (1.0, 0.2),
    "margin_length": (0.08, 0.02),
    "rail_exit_speed": (13.0, 9.0),
    "rail_exit_wind_ratio": (4.0, 2.0),
    "thrust_to_weight": (5.0, 2.0),
    "thrust_to_weight_floor": (3.0, 2.0),
    "landing_speed": (6.1, 12.0),
    "landing_energy": (101.7, 300.0),
    "reserve": (1.5, 1.0),
    "cord_reserve": (1.5, 1.0),
    "flutter_ratio": (1.25, 1.0),
    "firing_current_ratio": (2.0, 1.0),
    "continuity_over_no_fire": (0.1, 0.5),
    "pad_time_ratio": (2.0, 1.0),
    "charge_over_pins": (1.25, 1.0),
    "pins_over_load": (1.5, 1.0),
    "assumed_mass_share": (0.1, 0.5),
    "sheltered_share": (0.25, 0.5),
    "trim_angle": (math.radians(3.0), math.radians(10.0)),
    "backup_over_main": (1.2, 1.0),
    "rail_wind_angle": (math.radians(15.0), math.radians(30.0)),
    "rail_play_angle": (math.radians(1.0), math.radians(3.0)),
    "tip_off_angle": (math.radians(2.0), math.radians(10.0)),
    "two_button_travel": (1.0, 0.25),
    "thrust_held_angle": (math.radians(10.0), math.radians(20.0)),
    "damping_ratio": (0.05, 0.01),
    "spin_ratio": (0.8, 1.0),
}


def test_every_limit_is_the_one_of_its_source() -> None:
    shipped = Limits(own={})
    found = {row["name"]: shipped[row["name"]] for row in table_rows("finial.findings", "limits.csv")}
    assert {name: (one.value, one.last) for name, one in found.items()} == {
        name: (pytest.approx(value, rel=0.01), last if last is None else pytest.approx(last, rel=0.01))
        for name, (value, last) in RETYPED.items()
    }


@pytest.mark.parametrize(("name", "bounds"), PRACTICE.items())
def test_limits_are_those_of_common_practice(name: str, bounds: tuple[float, float]) -> None:
    assert bounds[0] <= Limits(own={})[name].value <= bounds[1]


def test_the_builders_own_limit_wins_and_says_so() -> None:
    limit = Limits(own={"rail_exit_speed": 18.0})["rail_exit_speed"]
    assert limit.value == 18.0
    assert "build sheet" in limit.source


def test_every_limit_says_who_says_so() -> None:
    assert all(row["source"].strip() for row in table_rows("finial.findings", "limits.csv"))


def test_an_unknown_limit_lists_the_known_ones() -> None:
    with pytest.raises(MissingData, match="rail_exit_speed"):
        Limits(own={})["speed_of_light"]


@pytest.mark.parametrize(("name", "last"), [(name, last) for name, (_, last) in RETYPED.items() if last])
def test_a_limit_of_the_builder_s_own_is_none_beyond_what_breaks(name: str, last: float) -> None:
    laxer = 1.02 if name in LOWER_IS_STRICTER else 0.98
    verdicts = [limits_findings(Limits(own={name: last * by}))[0].verdict for by in (1 / laxer, laxer)]
    assert verdicts == [Verdict.CAUTION, Verdict.NO_GO]


@pytest.mark.parametrize(
    ("own", "verdict"),
    [
        ({"margin_widths": 1.0, "landing_speed": 5.0}, Verdict.GO),
        ({"margin_widths": 0.5}, Verdict.CAUTION),
        ({"landing_speed": 9.0}, Verdict.CAUTION),
        ({"margin_widths": 0.9995, "landing_speed": 6.1 * 1.0005}, Verdict.GO),  # rounding is not laxer
        ({"landing_speed": 6.1 * 1.0015}, Verdict.CAUTION),
        ({"margin_widths": 0.9985}, Verdict.CAUTION),
        ({"margin_widths": 0.21}, Verdict.CAUTION),
        ({"margin_widths": 0.19}, Verdict.NO_GO),
        ({"margin_length": 0.081}, Verdict.GO),
        ({"margin_length": 0.079}, Verdict.CAUTION),
        ({"reserve": 1.01}, Verdict.CAUTION),
        ({"reserve": 0.98}, Verdict.NO_GO),
        ({"landing_speed": 11.9}, Verdict.CAUTION),
        ({"landing_speed": 12.1}, Verdict.NO_GO),
        ({"continuity_over_no_fire": 0.6}, Verdict.NO_GO),
        ({"trim_angle": 0.17}, Verdict.CAUTION),
        ({"trim_angle": 0.18}, Verdict.NO_GO),
    ],
)
def test_own_limits_that_are_laxer_than_usual_are_told(own: dict[str, float], verdict: Verdict) -> None:
    (found,) = limits_findings(Limits(own=own))
    assert found.verdict is verdict
    assert all((name in what_to_change(found)) == (verdict is not Verdict.GO) for name in own)


def test_without_own_limits_there_is_nothing_to_tell() -> None:
    assert limits_findings(Limits(own={})) == []


def test_a_limit_of_zero_gives_no_share_to_spare() -> None:
    assert margin_at_least(exact(1.0), 0.0) is None
    assert margin_at_most(exact(1.0), 0.0) is None


def test_every_limit_of_the_table_has_a_stricter_side() -> None:
    names = {row["name"] for row in table_rows("finial.findings", "limits.csv")}
    assert names == LOWER_IS_STRICTER | HIGHER_IS_STRICTER
    assert not LOWER_IS_STRICTER & HIGHER_IS_STRICTER


def test_beyond_its_last_value_a_limit_is_laxer_still() -> None:
    for row in table_rows("finial.findings", "limits.csv"):
        if row["last"]:
            value, last = float(row["value"]), float(row["last"])
            assert last > value if row["name"] in LOWER_IS_STRICTER else last < value


def test_a_reserve_of_one_is_no_reserve() -> None:
    """Strength over load, flutter over speed, current over all-fire: 1 is where it fails, by definition."""
    for name in ("reserve", "cord_reserve", "flutter_ratio", "firing_current_ratio", "charge_over_pins"):
        assert Limits(own={})[name].last == 1.0
