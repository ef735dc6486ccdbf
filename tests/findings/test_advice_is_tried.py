"""Advice is tried before it is given: it turns its finding, a little less does not, and its price is told."""

from dataclasses import replace
from pathlib import Path

import pytest

from finial.assemble.vehicle.materials import sheet_material
from finial.assemble.vehicle.pulls import pulls_of
from finial.assemble.vehicle.tweak import Tweak, TweakKind
from finial.core.dimensions import Dimension
from finial.core.units import parse_quantity
from finial.findings import advice
from finial.findings.advice import advised, tried
from finial.findings.check import load, readiness
from finial.findings.finding import Verdict
from finial.findings.readiness import Depth
from finial.findings.same_check import check_of
from finial.findings.tries import moved, suiting
from finial.report.finding_words import what_to_change
from finial.report.json_records import finding_plain
from finial.report.shown import Shown
from finial.web.jobs.kinds import KINDS

SKERRY = Path(__file__).parents[2] / "examples" / "skerry-light" / "skerry-light.toml"


@pytest.fixture(scope="module")
def lighthouse():
    return load(SKERRY)


def lighter(vehicle, mass: str):
    """The lighthouse with another ballast, as if its sheet said so."""
    item = next(one for one in vehicle.sheet.item if one.ballast)
    light = type(item).model_validate({**dict(item), "mass": mass})
    items = tuple(light if one is item else one for one in vehicle.sheet.item)
    return replace(vehicle, sheet=vehicle.sheet.model_copy(update={"item": items}))


@pytest.fixture(scope="module")
def light(lighthouse):
    return lighter(lighthouse, "1.55 kg +- 10 g")


@pytest.fixture(scope="module")
def before(light):
    return readiness(light, depth=Depth.QUICK)


@pytest.fixture(scope="module")
def margin(before):
    return next(one for one in before.findings if one.key == "margin" and one.fails)


@pytest.fixture(scope="module")
def trials(light, before, margin):
    pulls = suiting(margin, pulls_of(light))
    assert {pull.kind for pull in pulls} == {TweakKind.BALLAST, TweakKind.SPAN, TweakKind.SWEPT}
    return tried(light, before, [(margin, pulls)])[check_of(margin)]


def pull_of(vehicle, kind: str) -> Tweak:
    return next(pull for pull in pulls_of(vehicle) if pull.kind == kind)


def margins(vehicle, changes) -> set[Verdict]:
    found = readiness(vehicle, changes, depth=Depth.QUICK).findings
    return {one.verdict for one in found if one.key == "margin"}


def test_what_is_advised_turns_every_moment_and_a_good_deal_less_does_not(light, trials) -> None:
    ballast = next(trial for trial in trials if trial.lever == "ballast")
    pull = pull_of(light, "ballast")
    assert ballast.turns
    assert Verdict.NO_GO not in margins(light, pull.changes(ballast.size))
    # The search halves the way to the most five times: a sixteenth of it less is not enough.
    less = ballast.size - (pull.most - pull.now) / 16
    assert less < pull.now or Verdict.NO_GO in margins(light, pull.changes(less))


def test_the_words_name_the_change_and_say_that_it_goes(margin, trials) -> None:
    told = what_to_change(replace(margin, trials=trials), Shown(us_units=False))
    assert "steel ballast of" in told
    assert "this goes" in told


def test_what_was_not_tried_is_told_as_what_is_missing_and_not_as_what_to_do(margin) -> None:
    told = what_to_change(margin, Shown(us_units=False))
    assert told.startswith("At the bad end the balance point is 15.4 mm too far aft")
    assert "Move" not in told


def test_a_change_in_vain_is_said_to_be(margin, trials) -> None:
    vain = tuple(replace(trial, turns=False) for trial in trials)
    told = what_to_change(replace(margin, trials=vain), Shown(us_units=True))
    assert told.startswith("Does not suffice alone: steel ballast of")
    assert "At the bad end the balance point is" in told, "how much is missing stays true"
    assert "finial size mend looks for one" in told
    assert f"the long job “{KINDS['mend'].kind.title}”" in told, "by the name it has on the page"
    mild = what_to_change(replace(margin, trials=vain, verdict=Verdict.CAUTION), Shown(us_units=True))
    assert "size mend" not in mild, "it mends what fails alone"
    assert " lb" in told
    assert "this goes" not in told


def test_what_else_it_moves_is_told(light, before, margin) -> None:
    """Fins twice as long mend the margin and are paid for elsewhere."""
    after = readiness(light, pull_of(light, "ballast").changes(5.0), depth=Depth.QUICK)
    told = moved(before, after, check_of(margin))
    failing = {one.key for one in after.findings if one.fails} - {
        one.key for one in before.findings if one.fails
    }
    assert failing
    assert failing & {one.key for one in told if one.now is not Verdict.GO}


def test_a_trial_is_data_in_the_json(margin, trials) -> None:
    plain = finding_plain(replace(margin, trials=trials), Shown(us_units=False))
    assert [one["lever"] for one in plain["trials"]] == [one.lever for one in trials]
    assert all(isinstance(one["turns"], bool) for one in plain["trials"])


def test_what_only_a_long_look_answers_is_tried_first(light, before, margin, monkeypatch) -> None:
    """Else what the quick look answers as well spends the few long looks that there are."""
    asked = []

    def noted(_tries, _before, finding, _pulls):
        asked.append(finding.key)
        return iter(())

    monkeypatch.setattr(advice, "_trials", noted)
    wall = replace(margin, key="wall-wrinkles", stage="strength")
    tried(light, replace(before, depth=Depth.WHOLE), [(margin, ()), (wall, ())])
    assert asked == ["wall-wrinkles", "margin"]


def test_a_quick_answer_waits_for_nothing(light, before) -> None:
    assert advised(light, before, lambda _note: None) is before


def test_pulls_begin_where_the_sheet_is_and_change_only_what_they_name(lighthouse) -> None:
    for pull in pulls_of(lighthouse):
        assert pull.at(0.0) == pytest.approx(pull.now, abs=pull.step)
        assert pull.at(1.0) == pytest.approx(pull.most, abs=pull.step)
        assert pull.changes(pull.at(0.5))


def test_thicker_walls_weigh_more_though_the_part_was_weighed(lighthouse) -> None:
    changes = pull_of(lighthouse, "walls").changes(1.5)
    after = readiness(lighthouse, changes, depth=Depth.QUICK)
    plain = readiness(lighthouse, depth=Depth.QUICK)
    assert any(where[-1] == "weighed" for where in changes)
    assert after.flight.lift_off_mass_kg > 1.05 * plain.flight.lift_off_mass_kg


def test_a_stiffer_plate_is_pulled_at_and_none_that_is_no_stiffer(lighthouse) -> None:
    """G10 and carbon are stiffer than polycarbonate; a fin of carbon has no plate above it."""
    plates = [pull for pull in pulls_of(lighthouse) if pull.kind is TweakKind.PLATE]
    assert [pull.to for pull in plates] == ["G10", "carbon plate"]
    assert all(pull.is_whole for pull in plates)
    ((where, written),) = plates[0].changes(1.0).items()
    assert (where, written) == (("fin", 0, "material"), "G10")
    assert plates[0].changes(0.0) == {where: lighthouse.sheet.fin[0].material}


def test_rods_are_tightened_to_half_their_yield_at_most_and_keep_their_scatter(lighthouse) -> None:
    """Stress area of an M8: 36.6 mm2 (ISO 898-1); the tolerance stays the share that the sheet gives."""
    pull = pull_of(lighthouse, "preload")
    rod = lighthouse.sheet.rod[0]
    assert rod.thread == "M8"
    metal = sheet_material(lighthouse.sheet, rod.material)
    assert pull.most == pytest.approx(0.5 * metal.yield_pa.low * 36.6e-6, rel=0.01)
    ((_, written),) = pull.changes(2.0 * rod.preload.value).items()
    share = rod.preload.tolerance / rod.preload.value
    assert parse_quantity(written, Dimension.FORCE).tolerance == pytest.approx(
        2.0 * share * rod.preload.value, abs=1.0
    )
