"""The closer look at the recovery of an invented lighthouse: records, findings, text, pictures, command."""

import json
import sys
from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest

from finial.assemble.recovery.lip import lip_of
from finial.assemble.recovery.records import Happening, PieceMeeting, RemedyKind
from finial.cli.main import main
from finial.cli.options import exit_code
from finial.core.estimates import exact
from finial.files.sheet import read_sheet
from finial.findings.check import check
from finial.findings.finding import Verdict
from finial.findings.limits import Limits
from finial.findings.readiness import Readiness
from finial.findings.rules.recovery_study_rules import study_findings
from finial.recovery.cords.kinds import cord_named
from finial.recovery.cords.zipper import lip_holds_at
from finial.report.cord_words import remedy_words
from finial.report.finding_words import METRIC, title, what_to_change
from finial.report.pictures.recovery_pictures import recovery_pictures
from finial.report.recovery_text import recovery_lines
from finial.report.recovery_words import kind_words

SKERRY = Path(__file__).parents[2] / "examples" / "skerry-light" / "skerry-light.toml"
SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def look() -> Readiness:
    return check(SKERRY)


def judged(look: Readiness, **changes) -> dict[str, Verdict]:
    """Verdicts of the study's findings after changing its first tether, burst or pack's exit."""
    study = look.recovery_study
    for field in ("tethers", "bursts", "exits"):
        if field in changes:
            first, *rest = getattr(study, field)
            study = replace(study, **{field: (replace(first, **changes[field]), *rest)})
    found = study_findings(study, Limits(own={}))
    return {title(finding): finding.verdict for finding in found}


def test_the_separation_is_followed_from_three_seconds_early_to_five_late_in_three_winds(look) -> None:
    (tether,) = look.recovery_study.tethers
    by_wind = {
        wind: [c.offset_s for c in tether.cases if c.wind == wind] for wind in ("day", "windy", "calm")
    }
    assert all(offsets == np.arange(-3.0, 5.01, 0.5).tolist() for offsets in by_wind.values())
    speeds = {case.offset_s: case.speed_m_s for case in tether.cases if case.wind == "day"}
    assert speeds[0.0] == min(speeds[offset] for offset in (-3.0, -1.0, 0.0, 1.0, 5.0))
    assert speeds[5.0] > 30.0


def test_a_late_event_is_harder_on_the_lip_than_one_on_time(look) -> None:
    (tether,) = look.recovery_study.tethers
    for wind in ("day", "windy", "calm"):
        margins = {case.offset_s: case.margin_low for case in tether.cases if case.wind == wind}
        assert margins[5.0] < margins[3.0] < margins[0.0]


def test_speed_across_at_apogee_is_hard_on_the_lip_too(look) -> None:
    (tether,) = look.recovery_study.tethers
    margins = [case.margin_low for case in tether.by_speed]
    assert margins[-1] < margins[3] < margins[0]


def test_margins_are_those_of_the_tension_and_bend_shown(look) -> None:
    """Strength of the lip at the bend shown, over the tension shown, less one."""
    sheet, (tether,) = read_sheet(SKERRY).sheet, look.recovery_study.tethers
    recovery = sheet.recovery
    lip = lip_of(sheet, recovery.bay[0], cord_named(recovery.cord[0].material).width_m)
    assert lip is not None
    for case in tether.cases[::5]:
        holds = float(lip_holds_at(lip, case.lip_bend_rad, "low"))
        assert case.margin_low == pytest.approx(holds / case.lip_tension_n - 1, rel=1e-4, abs=1e-4)


def test_remedies_are_ranked_and_the_build_as_it_stands_is_among_them(look) -> None:
    (tether,) = look.recovery_study.tethers
    margins = [remedy.margin for remedy in tether.remedies]
    assert margins == sorted(margins, reverse=True)
    built = next(remedy for remedy in tether.remedies if remedy.kind is RemedyKind.AS_BUILT)
    worst = min(
        case.margin_low for case in tether.cases if case.wind == "windy" and float(case.offset_s).is_integer()
    )
    assert built.margin == pytest.approx(worst)
    assert len(tether.remedies) >= 8


def test_without_a_pull_test_the_zipper_is_never_a_go(look) -> None:
    name = "shock cord does not cut the tube, on time"
    lip = look.recovery_study.tethers[0].lip
    tested, untested = ({"lip": replace(lip, tested=known)} for known in (True, False))
    strong = tuple(replace(case, margin=9.0, margin_low=8.0) for case in look.recovery_study.tethers[0].cases)
    assert judged(look, tethers={"cases": strong, **untested})[name] is Verdict.NOT_KNOWN
    assert judged(look, tethers={"cases": strong, **tested})[name] is Verdict.GO
    weak = tuple(replace(case, margin=-0.5, margin_low=-0.8) for case in look.recovery_study.tethers[0].cases)
    assert judged(look, tethers={"cases": weak, **tested})[name] is Verdict.NO_GO
    assert (
        judged(look, tethers={"lip": None})["shock cord does not cut the tube, on time"] is Verdict.NOT_KNOWN
    )


def test_sides_that_meet_are_a_caution_and_sides_that_do_not_are_told(look) -> None:
    name = "the sides on shock cord keep apart"
    apart = judged(look, tethers={"meeting": None})
    assert apart[name] is Verdict.GO
    meeting = PieceMeeting(offset_s=2.0, wind="calm", time_s=1.5, closing_m_s=8.0)
    assert judged(look, tethers={"meeting": meeting})[name] is Verdict.CAUTION


@pytest.mark.parametrize("kind", RemedyKind)
def test_whatever_helps_most_is_said(look, kind) -> None:
    (tether,) = look.recovery_study.tethers
    best = replace(tether.remedies[0], kind=kind, size=0.5)
    weak = tuple(replace(case, margin=-0.5, margin_low=-0.8) for case in tether.cases)
    study = replace(look.recovery_study, tethers=(replace(tether, remedies=(best,), cases=weak, spread=()),))
    found = [one for one in study_findings(study, Limits(own={})) if one.key == "lip-holds"]
    said = [what_to_change(one) for one in found]
    assert all(
        ("Of all that was tried, most helps" in one) == (kind is not RemedyKind.AS_BUILT) for one in said
    )
    assert "{" not in " ".join([*said, *remedy_words(best, METRIC)])


def test_charges_are_judged_in_time_and_the_wall_of_their_bay_once(look) -> None:
    (burst,) = look.recovery_study.bursts
    shut = tuple(replace(shot, opens=False) for shot in burst.shots)
    opens = "lantern charge parts the joint, followed in time"
    assert judged(look)[opens] is Verdict.GO
    assert judged(look, bursts={"shots": shut})[opens] is Verdict.NOT_KNOWN
    assert len([one for one in look.findings if "bay" in one.key and one.key.endswith("bursts")]) == 1


def test_what_moves_the_pack_is_judged_against_what_holds_it(look) -> None:
    (found,) = look.recovery_study.exits
    assert found.friction.low < 0.2 * found.friction.high
    assert found.push.value == pytest.approx(
        look.recovery.charges[0].force_on_joint.value / found.friction.value
    )
    pushed, pulled = (
        f"pack leaves lantern bay, {way}" for way in ("pushed by a charge behind it", "pulled by the cord")
    )
    assert judged(look)[pushed] is Verdict.GO
    assert judged(look, exits={"behind_told": False})[pushed] is Verdict.CAUTION
    assert judged(look, exits={"push": None})[pulled] is Verdict.NOT_KNOWN
    strong = replace(found.push, value=5.0, low=2.0, high=9.0)
    assert judged(look, exits={"pull": strong, "behind_told": False})[pulled] is Verdict.GO
    assert judged(look, exits={"push": None, "pull": exact(0.4)})[pulled] is Verdict.NO_GO


def test_both_charges_at_once_push_harder_than_either(look) -> None:
    first, backup, both = look.recovery_study.bursts[0].shots
    assert both.powder_kg == pytest.approx(first.powder_kg + backup.powder_kg)
    assert both.peak.value > backup.peak.value > first.peak.value
    assert first.peak.low < first.peak.value < first.closed_form_pa.value


def test_the_order_of_events_rises_and_names_what_fires(look) -> None:
    rows = look.recovery_study.order.rows
    assert [row.time_s for row in rows] == sorted(row.time_s for row in rows)
    fired = [row.name for row in rows if row.kind is Happening.CHARGE]
    assert fired == ["lantern charge", "lantern backup charge"]
    assert kind_words(look.recovery_study.order) == "single event; lantern joint, head-end"


def test_the_text_says_the_cautions_and_that_no_limit_is_published(look) -> None:
    text = " ".join(line.text.strip() for line in recovery_lines(look))
    assert "no published limit exists" in text or look.recovery_study.tethers[0].lip.tested
    assert "Nothing here says how powder or igniters are made." in text
    assert text.count("High-power rocketry hurts people.") == 1
    assert " safe" not in text.replace("range safety", "")
    assert max(len(line.text) for line in recovery_lines(look, width=80)) <= 80


def test_us_units_reach_every_section(look) -> None:
    text = "\n".join(line.text for line in recovery_lines(replace(look, us_units=True)))
    assert "lbf" in text
    assert "psi" in text
    assert " kPa" not in text


def test_pictures_lie_on_their_paper_and_say_what_they_show(look) -> None:
    drawn = recovery_pictures(look)
    assert set(drawn) == {"tension.svg", "zipper.svg", "pressure.svg", "opening.svg"}
    for svg in drawn.values():
        root = ElementTree.fromstring(svg)
        _, _, width, height = map(float, root.get("viewBox").split())
        assert root.findtext(f"{SVG}title")
        assert root.findtext(f"{SVG}desc")
        for line in root.iter(f"{SVG}polyline"):
            places = np.array([pair.split(",") for pair in line.get("points").split()], dtype=float)
            assert (places >= -0.01).all()
            assert (places <= [width + 0.01, height + 0.01]).all()


def test_the_tension_drawn_peaks_where_the_study_says(look) -> None:
    root = ElementTree.fromstring(recovery_pictures(look)["tension.svg"])
    marks = {node.get("id"): node for node in root.iter() if node.get("id")}
    ticks = sorted(
        (float(node.get("data-at")), float(name.removeprefix("tension-y-")))
        for name, node in marks.items()
        if name.startswith("tension-y-")
    )
    (top, high), (foot, low) = ticks[0], ticks[-1]
    per_mm = (high - low) / (foot - top)
    places = [float(pair.split(",")[1]) for pair in marks["tension-line-0"].get("points").split()]
    drawn = low + (foot - min(places)) * per_mm
    assert drawn == pytest.approx(float(look.recovery_study.tethers[0].tensions_n[0].max()), rel=0.02)


def test_the_command_prints_json_and_writes_the_pictures(look, monkeypatch, capsys, tmp_path) -> None:
    monkeypatch.setattr("finial.findings.check.check", lambda _path, *, tell: look)
    words = ["finial", "recovery", str(SKERRY), "--json", "--quiet", "--plots", str(tmp_path / "plots")]
    monkeypatch.setattr(sys, "argv", words)
    with pytest.raises(SystemExit) as ended:
        main()
    assert ended.value.code == exit_code(look.verdict)
    told = json.loads(capsys.readouterr().out)
    assert told["recovery_study"]["tethers"][0]["cord"] == "shock cord"
    assert {path.name for path in (tmp_path / "plots").iterdir()} == set(recovery_pictures(look))


def test_a_lip_s_number_reaches_as_far_up_as_down(look) -> None:
    """Strength over pull of 1.5, 1.2 at the low end: 1.8 at the high one."""
    cases = tuple(replace(case, margin=0.5, margin_low=0.2) for case in look.recovery_study.tethers[0].cases)
    study = look.recovery_study
    tether = replace(study.tethers[0], cases=cases, spread=())
    found = study_findings(replace(study, tethers=(tether,)), Limits(own={}))
    value = next(one.value for one in found if one.key == "lip-holds")
    assert (value.low, value.value, value.high) == pytest.approx((1.2, 1.5, 1.8))


@pytest.mark.parametrize(("peak_n", "verdict"), [(990.0, Verdict.GO), (1010.0, Verdict.NOT_KNOWN)])
def test_a_cord_followed_in_time_keeps_its_reserve(look, peak_n: float, verdict: Verdict) -> None:
    """A cord of 1500 N with half again in reserve takes 1000 N; 500 N in the middle of what may come."""
    (tether,) = look.recovery_study.tethers
    cases = tuple(replace(case, peak_n=500.0 if case.offset_s == 0.0 else peak_n) for case in tether.cases)
    changed = {"cases": cases, "spread": (), "strength": exact(1500.0)}
    name = "shock cord through separation and opening, followed in time"
    assert judged(look, tethers=changed)[name] is verdict
