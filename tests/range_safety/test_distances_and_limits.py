"""Distances, classes and limits: edges of the tables and their refusals."""

import math

import pytest

from finial.core.errors import MissingData, OutsideRange
from finial.core.tables import table_rows
from finial.range_safety.classes import FaaClass, Installed, faa_class, is_high_power
from finial.range_safety.distance import LAYOUTS, faa_101_25, known_codes, minimum_distance
from finial.range_safety.limits import airspace_rules, code_limits, field_minimum


def installed(**changed: float) -> Installed:
    usual = {
        "impulse_n_s": 1200.0,
        "propellant_kg": 0.6,
        "lift_off_mass_kg": 6.0,
        "largest_average_thrust_n": 400.0,
    }
    return Installed(**{**usual, **changed})  # pyright: ignore[reportArgumentType]


def test_a_newton_second_over_the_row_takes_the_next() -> None:
    assert minimum_distance("NFPA 1127", 1280.0).distance_m == pytest.approx(100 * 0.3048)
    assert minimum_distance("NFPA 1127", 1280.1).distance_m == pytest.approx(200 * 0.3048)


# Both tables of distances, retyped: up to so many newton seconds, feet for one motor and for several.
ROWS = [
    *[("NFPA 1127", up_to, 100, 200) for up_to in (320, 640, 1280)],
    ("NFPA 1127", 2560, 200, 300),
    ("NFPA 1127", 5120, 300, 500),
    ("NFPA 1127", 10240, 500, 1000),
    ("NFPA 1127", 20480, 1000, 1500),
    ("NFPA 1127", 40960, 1500, 2000),
    ("19 CCR 1036", 320, 30, 150),
    ("19 CCR 1036", 1280, 150, 200),
    ("19 CCR 1036", 2560, 200, 300),
    ("19 CCR 1036", 5120, 300, 500),
    ("19 CCR 1036", 10240, 500, 1000),
    ("19 CCR 1036", 20480, 1000, None),
]


@pytest.mark.parametrize(("code", "up_to", "single_ft", "complex_ft"), ROWS)
def test_a_row_ends_at_its_impulse_class(
    code: str, up_to: float, single_ft: float, complex_ft: float
) -> None:
    """Impulse classes double; California's first two run over several."""
    for layout, feet in (("single", single_ft), ("complex", complex_ft)):
        if feet is not None:
            row = minimum_distance(code, up_to, layout)
            assert (row.impulse_to_n_s, row.distance_m) == (up_to, pytest.approx(feet * 0.3048))
            assert minimum_distance(code, 0.999 * up_to, layout) == row
    if up_to < max(row[1] for row in ROWS if row[0] == code):
        assert minimum_distance(code, 1.001 * up_to).impulse_to_n_s > up_to


def test_the_answer_carries_edition_source_and_row() -> None:
    row = minimum_distance("nfpa 1127", 500.0, "complex")
    assert row.code == "NFPA 1127"
    assert row.impulse_to_n_s == 640.0
    assert "4.16.3" in row.edition
    assert row.source


def test_unknown_code_lists_the_known_ones() -> None:
    with pytest.raises(MissingData, match=r"NFPA 1127, 19 CCR 1036"):
        minimum_distance("house rules", 500.0)
    with pytest.raises(MissingData, match="NFPA 1127"):
        code_limits("house rules")


@pytest.mark.parametrize(("code", "beyond"), [("NFPA 1127", 40_961.0), ("19 CCR 1036", 20_481.0)])
def test_impulse_beyond_the_table_is_refused(code: str, beyond: float) -> None:
    with pytest.raises(OutsideRange, match="beyond the table"):
        minimum_distance(code, beyond)


def test_a_distance_the_code_does_not_print_is_refused() -> None:
    with pytest.raises(OutsideRange, match="prints no distance for a complex rocket"):
        minimum_distance("19 CCR 1036", 15_000.0, "complex")


@pytest.mark.parametrize("impulse", [0.0, -1.0, math.nan, math.inf])
def test_nonsense_impulse_is_refused(impulse: float) -> None:
    with pytest.raises(OutsideRange, match="impulse_n_s"):
        minimum_distance("NFPA 1127", impulse)


def test_unknown_layout_is_refused() -> None:
    with pytest.raises(OutsideRange, match="single or complex"):
        minimum_distance("NFPA 1127", 500.0, "cluster")


@pytest.mark.parametrize("code", known_codes())
def test_every_code_asks_for_no_less_as_impulse_grows_or_motors_are_added(code: str) -> None:
    rows = [row for row in table_rows("finial.range_safety", "distances.csv") if row["code"] == code]
    impulses = [float(row["impulse_to_n_s"]) for row in rows]
    assert impulses == sorted(set(impulses))
    for layout in LAYOUTS:
        feet = [float(row[f"{layout}_ft"]) for row in rows if row[f"{layout}_ft"]]
        assert feet == sorted(feet)
    assert all(not row["complex_ft"] or float(row["complex_ft"]) > float(row["single_ft"]) for row in rows)
    assert all(row["source"] and row["edition"] for row in rows)


def test_californias_clusters_take_the_next_row() -> None:
    rows = [r for r in table_rows("finial.range_safety", "distances.csv") if r["code"] == "19 CCR 1036"]
    assert [row["complex_ft"] for row in rows] == [row["single_ft"] for row in rows[1:]] + [""]


@pytest.mark.parametrize("code", known_codes())
def test_every_code_with_distances_has_limits(code: str) -> None:
    limits = code_limits(code)
    assert limits.code == code
    assert 0 < limits.tilt_rad < math.pi / 4
    assert 0 < limits.wind_m_s < 15
    assert {"tilt", "wind"} <= {name for name, source in limits.sources if source}


@pytest.mark.parametrize(
    ("code", "tilt_deg", "wind_mph", "misfire_s", "countdown_s", "no_flame_ft", "ratio", "field"),
    [
        # High Power Rocket Safety Code, August 2012, seen in a club's copy; ratio and tilt from memory.
        ("NFPA 1127", 20, 20, 60, 5, 25, 3, (0.5, 1500)),
        # 19 CCR 1036 (a)(2) and (c), seen; its wait is common practice.
        ("19 CCR 1036", 20, 20, 60, None, None, None, (None, None)),
        # Nothing of it but its table was seen: what every other code says, and said to be so.
        ("Research Safety Code", 20, 20, 60, None, None, None, (None, None)),
    ],
)
def test_limits_of_each_code_retyped(
    code, tilt_deg, wind_mph, misfire_s, countdown_s, no_flame_ft, ratio, field
) -> None:
    limits = code_limits(code)
    assert math.degrees(limits.tilt_rad) == pytest.approx(tilt_deg)
    assert limits.wind_m_s == pytest.approx(wind_mph * 0.44704)
    assert (limits.misfire_wait_s, limits.countdown_s) == (misfire_s, countdown_s)
    assert limits.no_flame_m == (no_flame_ft and pytest.approx(no_flame_ft * 0.3048))
    assert (limits.thrust_over_weight, limits.field_over_altitude) == (ratio, field[0])
    assert limits.field_at_least_m == (field[1] and pytest.approx(field[1] * 0.3048))
    assert limits.under_faa


def test_field_is_half_the_altitude_but_1500_ft_at_least() -> None:
    limits = code_limits("NFPA 1127")
    assert field_minimum(limits, 500.0) == pytest.approx(457.2)
    assert field_minimum(limits, 2000.0) == 1000.0


def test_a_field_rule_nobody_knows_is_not_made_up() -> None:
    assert field_minimum(code_limits("19 CCR 1036"), 2000.0) is None


def test_bystander_distance_has_its_floor_and_its_quarter() -> None:
    assert faa_101_25(0.0) == 457.0
    assert faa_101_25(4000.0) == 1000.0
    (told,) = (rule.value for rule in airspace_rules() if rule.rule == "bystanders")
    assert told == 457.0


@pytest.mark.parametrize("altitude", [-1.0, math.nan])
def test_nonsense_altitude_is_refused(altitude: float) -> None:
    with pytest.raises(OutsideRange, match="max_altitude_agl_m"):
        faa_101_25(altitude)


def test_nine_airspace_rules_each_with_its_paragraph() -> None:
    paragraphs = [rule.source.split("(")[1][0] for rule in airspace_rules()]
    assert paragraphs == list("abcdefghi")


def test_light_rocket_with_rods_of_metal_is_not_class_1() -> None:
    light = Installed(
        impulse_n_s=100.0,
        propellant_kg=0.06,
        lift_off_mass_kg=1.0,
        largest_average_thrust_n=50.0,
        substantial_metal=True,
    )
    assert faa_class(light) is FaaClass.CLASS_2


def test_more_than_an_amateur_rocket_is_refused() -> None:
    with pytest.raises(OutsideRange, match="amateur rocket"):
        faa_class(installed(impulse_n_s=900_000.0))


@pytest.mark.parametrize(
    "field", ["impulse_n_s", "lift_off_mass_kg", "largest_average_thrust_n", "motor_count"]
)
def test_nonsense_is_refused(field: str) -> None:
    with pytest.raises(OutsideRange, match=field):
        is_high_power(installed(**{field: 0}))
