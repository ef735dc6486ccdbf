"""The terminal text: verdict first, findings worst first, every field said, builder's units."""

import re
from dataclasses import fields, replace

import pytest
from told import report_text

from finial.core.dimensions import Dimension
from finial.core.estimates import KnownBy, spread
from finial.findings.finding import Bound, Finding, Fix, Sense, Subject, Trial, Verdict, worst_first
from finial.range_safety.limits import code_limits
from finial.report.finding_words import what_to_change
from finial.report.shown import Shown
from finial.report.text import finding_lines, findings_lines, opening_lines
from finial.report.words import CAUTION, answer
from finial.structure.loads.case import Case, Load

TERMS = {f"  {one}" for one in ("xx", "yy", "zz", "xy", "xz", "yz")}


def squeezed(text):
    """Words with single blanks, so that line breaks do not matter."""
    return " ".join(text.split())


def test_the_first_line_answers_the_question(readiness):
    first = report_text(readiness).splitlines()[0]
    assert first.startswith("No-go: do not fly Pretend Light as it stands. 2 of 6 checks fail")


def test_findings_come_worst_first(readiness):
    ranks = [one.verdict for one in worst_first(readiness.findings[::-1])]
    assert ranks == sorted(ranks, reverse=True)
    words = [line.text.split("  ")[0] for line in opening_lines(readiness)]
    met = [word for word in words if word in {"NO-GO", "NOT KNOWN", "CAUTION", "GO"}]
    assert met == ["NO-GO", "NO-GO", "NOT KNOWN", "CAUTION", "GO", "GO"]


def test_what_to_change_stands_on_the_first_screen(readiness):
    screen = squeezed("\n".join(line.text for line in opening_lines(readiness)[:24]))
    for finding in readiness.findings:
        assert what_to_change(finding) in screen


CHANGED = {
    "key": "charge-opens",
    "stage": "recovery",
    "subject": Subject(case="a dream"),
    "verdict": Verdict.CAUTION,
    "value": None,
    "dimension": None,
    "bound": Bound(sense=Sense.AT_MOST, value=7.0),
    "margin": 0.5,
    "facts": {"slenderness": "2.3"},
    "reasons": ("short-and-fat",),
    "fixes": (),
    "safety": False,
    "trials": (Trial(lever="rail", name="", was=2.0, size=3.0, dimension=Dimension.LENGTH, turns=True),),
    "spoiled": True,
}


@pytest.mark.parametrize(
    "field", [one.name for one in fields(Finding) if one.name not in ("cause", "facts", "urgent")]
)
def test_every_field_of_a_finding_changes_the_text(readiness, field):
    worst = replace(readiness.findings[0], facts={**CHANGED["facts"], "bay": "bay"})
    other = replace(worst, **{field: CHANGED[field]})
    if field == "key":
        other = replace(other, fixes=(Fix(key="enter-powder"),), bound=Bound(sense=Sense.HOLDS))
    before, after = (
        squeezed("\n".join(line.text for line in finding_lines(one, Shown(us_units=False))))
        for one in (worst, other)
    )
    assert before != after


def test_the_same_check_at_another_moment_gives_its_advice_once(readiness):
    fix = (Fix(key="move-apart", facts=dict.fromkeys(("short", "length"), "so much")),)
    worst = replace(readiness.findings[0], key="margin", cause="x", fixes=fix, facts=CHANGED["facts"])
    told = replace(worst, subject=Subject(case="burnout"), value=None)
    far = (replace(fix[0], facts=dict.fromkeys(("short", "length"), "far")),)
    other = replace(told, subject=Subject(name="another"), fixes=far)
    for follower, times in ((told, 0), (other, 1)):
        lines = findings_lines([worst, follower], Shown(us_units=False))
        text = squeezed("\n".join(line.text for line in lines))
        assert text.count("At the bad end the balance point is so much too far aft") == 1
        assert text.count("At the bad end the balance point is far too far aft") == times


def test_go_findings_take_one_line_each(readiness):
    lines = [line.text for line in opening_lines(readiness)]
    assert "GO  speed off the rail: 16.0 m/s (14.9 to 17.1); at least 13 m/s; 15 % to spare" in lines
    assert sum(line.startswith("GO ") for line in lines) == 2


def test_the_eleven_stages_come_in_order(readiness):
    titles = re.findall(r"^(\d+)\. (.+)$", report_text(readiness), flags=re.MULTILINE)
    assert [int(number) for number, _ in titles] == list(range(1, 12))
    assert [title for _, title in titles] == [
        "Shape",
        "Mass and balance",
        "Inside",
        "Air loads",
        "Stability",
        "Strength",
        "Flight",
        "Drift and landing point",
        "Recovery",
        "Electronics",
        "Range",
    ]


def test_stability_is_told_with_and_without_fins(readiness):
    text = report_text(readiness)
    row = next(line for line in text.splitlines() if line.startswith("  rail exit   145"))
    # Margin 725 - 580 mm; bad end 635 - 589 = 46 mm = 0.24 widths of 190 mm; 3.8 % of 1200 mm.
    assert row.split() == "rail exit 145 mm (46 to 203) 0.24 3.8 % -150 mm (-279 to -42)".split()


def test_what_the_code_asks_of_those_at_the_pad_is_told(readiness):
    # High Power Rocket Safety Code, August 2012: countdown 5 s, misfire 60 s, no flame within 25 ft.
    text = squeezed(report_text(readiness))
    for fact in ("countdown of at least 5 s", "wait after a misfire 60 s", "away from motors by 7.62 m"):
        assert fact in text
    older = replace(readiness.range_safety, limits=code_limits("19 CCR 1036"))
    text = squeezed(report_text(replace(readiness, range_safety=older)))
    assert "countdown of at least not known" in text
    assert "thrust over weight at least not known" in text
    assert "wait after a misfire 60 s (not read in 19 CCR 1036: ask)" in text
    assert "visibility above the pad at least 1524 m" in text  # 5000 ft, 19 CCR 1036 (c)


def test_the_caution_is_said_once_and_defers(readiness):
    text = squeezed(report_text(readiness))
    assert text.count(CAUTION) == 1
    for authority in ("range safety officer", "national code", "local law", "licensed practice"):
        assert authority in CAUTION


@pytest.mark.parametrize("verdict", list(Verdict))
def test_no_verdict_is_ever_called_safe(readiness, verdict):
    judged = replace(
        readiness, verdict=verdict, findings=tuple(replace(f, verdict=verdict) for f in readiness.findings)
    )
    assert not re.search(r"\b(un)?safe(ly)?\b", report_text(judged), flags=re.IGNORECASE)


@pytest.mark.parametrize(
    ("verdict", "opening"),
    [
        (Verdict.GO, "Go, on these numbers"),
        (Verdict.CAUTION, "Go, with 1 caution"),
        (Verdict.NOT_KNOWN, "Not known: nothing checked on Pretend Light fails, but 1 of 1"),
        (Verdict.NO_GO, "No-go: do not fly"),
    ],
)
def test_each_verdict_has_its_sentence(readiness, verdict, opening):
    one = replace(readiness.findings[0], verdict=verdict)
    assert answer(replace(readiness, verdict=verdict, findings=(one,))).startswith(opening)


def test_us_units_leave_no_metric_length_behind(readiness):
    text = report_text(replace(readiness, us_units=True))
    body = text[text.index("1. Shape") : text.index("Guesses that matter most")]
    assert "47.2 in" in body  # 1200 mm
    assert "11.7 lb" in body  # 5.29 kg
    assert "52.5 ft/s (48.9 to 56.1)" in body  # 16.0 (14.9 to 17.1) m/s
    assert "25.1 lbf ft" in body  # 34 N m
    # Grams stay for accelerations and for charges, which are weighed in grams everywhere; impulse in N s.
    assert "10.2 g" in body
    assert "1340 N s" in body
    assert not re.search(r"\d (mm|m|m2|cm2|m/s|kg|kPa|Pa|J|N|N m)\b", body.replace(" N s", ""))
    assert not re.search(r"(?<![\d.])[1-9]\d+(\.\d+)? g\b", body.replace("10.2 g", ""))


def test_no_line_is_wider_than_asked(readiness):
    for width in (80, 96, 100):
        assert max(map(len, report_text(readiness, width=width).splitlines())) <= width


def test_escape_sequences_in_names_reach_no_terminal(readiness):
    hostile = replace(readiness, name="\x1b[2J\x07Light‮", note="a\nb")
    text = report_text(hostile)
    assert not re.search(r"[\x00-\x09\x0b-\x1f\x7f\u202e]", text)
    assert "Light" in text


def test_strength_shows_the_worst_case_of_each_kind_and_counts_the_rest(readiness):
    least = spread(0.5, 0.2, known_by=KnownBy.COMPUTED)
    worse = replace(readiness.strength.reserves[0], case=Case(load=Load.THRUST_STOPS), reserve=least)
    text = report_text(
        replace(
            readiness, strength=replace(readiness.strength, reserves=(*readiness.strength.reserves, worse))
        )
    )
    lines = text.splitlines()
    rows = [line for line in lines if line.startswith("  wall of tower pulled")]
    assert len(rows) == 1
    assert "thrust stops" in rows[0]
    assert "0.5" in rows[0]
    assert "1 further combinations of kind and case" in text


def test_a_reserve_against_next_to_nothing_is_said_as_at_least(readiness):
    huge = replace(
        readiness.strength.reserves[1],
        reserve=replace(readiness.strength.reserves[1].reserve, value=1000, low=592, high=1000),
    )
    text = report_text(replace(readiness, strength=replace(readiness.strength, reserves=(huge,))))
    assert "at least 592" in text


def test_percent_signs_stay_with_their_numbers(readiness):
    for width in range(60, 101):
        lines = report_text(readiness, width=width).splitlines()
        assert not [line for line in lines if line.lstrip().startswith("% ")]


def test_the_shape_tells_skin_volume_and_sections(readiness):
    text = squeezed(report_text(readiness))
    for label in (
        "skin area, without the base",
        "volume inside the skin",
        "Sections of the skin along the stations",
    ):
        assert label in text


def test_the_inertia_is_the_whole_tensor_at_both_ends_of_the_burn(readiness):
    full, empty = readiness.mass.lift_off.inertia_kg_m2, readiness.mass.burnout.inertia_kg_m2
    rows = {
        line.split()[0]: line.split() for line in report_text(readiness).splitlines() if line[:4] in TERMS
    }
    assert len(rows) == 6
    assert float(rows["yy"][1]) == pytest.approx(full[1, 1], rel=1e-3)
    assert float(rows["yy"][4]) == pytest.approx(empty[1, 1], rel=1e-3)


def test_inertia_in_pounds_and_feet():
    # 1 kg m2 = 1 / (0.45359237 * 0.3048^2) lb ft2, exact by definition of pound and foot.
    assert Shown(us_units=True).inertia(1.0) == f"{1 / (0.45359237 * 0.3048**2):.4g} lb ft2"


@pytest.mark.parametrize("verdict", [Verdict.GO, Verdict.CAUTION])
def test_a_go_defers_to_the_officer(readiness, verdict):
    assert answer(replace(readiness, verdict=verdict)).endswith("The range safety officer has the last word.")


def test_one_caution_speaks_of_what_hurts_everywhere():
    from pathlib import Path

    from finial.report.words import CAUTION

    root = Path(__file__).parents[2]
    assert all(word in CAUTION for word in ("motor", "charge", "cells", "canopy", "People who only watch"))
    for page in ("README.md", "docs/index.md"):
        assert CAUTION in " ".join((root / page).read_text(encoding="utf-8").split()), page


def test_a_swing_is_told_with_the_least_damping_asked(readiness):
    assert "damping of a swing, 1 ends it" in report_text(readiness)
    swing = Finding(
        **{**CHANGED, "key": "swing", "stage": "flight", "reasons": (), "facts": {"wave": "80 m"}},
        urgent=False,
    )
    asked = replace(swing, value=None, bound=Bound(sense=Sense.AT_LEAST, value=0.05))
    told = squeezed(report_text(replace(readiness, findings=(asked,))))
    assert "damping of a swing, 1 ends it 0.10 (0.07 to 0.11), computed; at least 0.05" in told
    long = replace(asked, key="air-keeps-up", bound=Bound(sense=Sense.AT_LEAST, value=12.0))
    long = replace(long, dimension=Dimension.LENGTH)
    waves = squeezed(report_text(replace(readiness, findings=(long,))))
    assert "one swing in pitch takes 80 m (75 to 90); at least 12 m" in waves
    assert "flats feed a swing from 29 deg (17 to 86)" in told
    assert "vortices push aside from 28.6 deg (22.9 to 34.4)" in told


@pytest.mark.parametrize(
    ("ends", "told"), [((1.6, 1.6), "from no angle"), ((0.2, 1.6), "from 11.5 deg or more, or no angle")]
)
def test_a_vehicle_that_never_gallops_says_so(readiness, ends, told):
    angle = replace(readiness.flight.galloping_angle, low=ends[0], value=ends[1], high=ends[1])
    flight = replace(readiness.flight, galloping_angle=angle)
    assert f"flats feed a swing {told}" in squeezed(report_text(replace(readiness, flight=flight)))


def test_what_was_tried_for_the_leader_is_not_told_again_of_what_follows(readiness):
    """The same ports at the same station were told three times over, one finding after the other."""
    trial = Trial(lever="rail", name="", was=3.0, size=4.0, dimension=Dimension.LENGTH, turns=True, deep=True)
    worst = replace(readiness.findings[0], key="margin", cause="x", facts=CHANGED["facts"], trials=(trial,))
    other = replace(worst, subject=Subject(name="another"))
    longer = replace(other, trials=(replace(trial, size=5.0),))
    for follower, times in ((other, 1), (longer, 2)):
        text = squeezed(
            "\n".join(line.text for line in findings_lines([worst, follower], Shown(us_units=False)))
        )
        assert text.count("With a rail of") == times
