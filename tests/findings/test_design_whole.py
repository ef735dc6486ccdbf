"""The best of a search, looked at whole: what does not go is never called one, and the next best is found."""

from pathlib import Path
from typing import Any
from unittest.mock import Mock

import pytest

from finial.assemble.vehicle.levers import ballast
from finial.core.estimates import exact
from finial.findings import design_whole
from finial.findings.check import load, readiness
from finial.findings.design_whole import confirmed, whole_verdict
from finial.findings.finding import Subject, Verdict
from finial.findings.rules.motor_rules import MISFIT
from finial.sizing.found_front import front
from finial.sizing.judged import Aim, Judged
from finial.sizing.search import Found

COUNT = 40
KNOWN = {
    (float(number),): Judged(mass_kg=5.0 + number, missing=0.0, is_go=True, apogee_m=300.0 + number)
    for number in range(COUNT)
}


def found(known: Any = KNOWN) -> Any:
    best = min(known, key=lambda point: known[point].mass_kg)
    return Found(point=best, judged=known[best], judged_designs=len(known), left_out=0, known=known)


class Looking:
    """Whole looks that say go from a number on."""

    def __init__(self, first: Any, says: Any = Verdict.NO_GO) -> None:
        self.first, self.says, self.asked = first, says, list[float]()

    def __call__(self, point: Any) -> Any:
        self.asked.append(point[0])
        return Verdict.CAUTION if point[0] >= self.first else self.says


@pytest.mark.parametrize("first", [0, 1, 2, 3, 6, 7, 12, 25, 38, 39])
def test_the_next_best_is_found_wherever_those_that_go_begin(first: Any) -> None:
    look = Looking(first)
    told = confirmed(found(), Aim.LIGHTEST, look)
    assert told.best.point == (float(first),)
    assert (told.verdict, told.is_go) == (Verdict.CAUTION, True)
    assert len(told.better) == first
    assert len(look.asked) == len(set(look.asked)) <= 12
    assert all(told.verdicts[row.point] is Verdict.NO_GO for row in told.turned_down)
    assert bool(told.turned_down) is (first > 0)


def test_where_none_goes_the_best_is_no_go_and_no_more_looks_are_taken_than_may_be() -> None:
    look = Looking(COUNT, Verdict.NOT_KNOWN)
    told = confirmed(found(), Aim.LIGHTEST, look, most=4)
    assert (told.best.point, told.verdict, told.is_go) == ((0.0,), Verdict.NOT_KNOWN, False)
    assert len(look.asked) == 4
    nobody = confirmed(found(), Aim.LIGHTEST, look, most=0)
    assert (nobody.verdict, nobody.is_go, nobody.verdicts) == (Verdict.NOT_KNOWN, False, {})


def test_each_of_the_front_that_goes_by_the_quick_look_is_looked_at_and_may_win() -> None:
    known = {**KNOWN, (50.0,): Judged(mass_kg=4.0, missing=0.1, is_go=False, odds=0.9)}
    known |= {(60.0,): Judged(mass_kg=90.0, missing=0.0, is_go=True, apogee_m=990.0)}
    rows = front({point: known[point] for point in ((3.0,), (60.0,))}, Aim.LIGHTEST)
    asked = Looking(0)
    whole = Found(point=(0.0,), judged=known[0.0,], judged_designs=42, left_out=0, known=known, front=rows)
    told = confirmed(whole, Aim.LIGHTEST, asked)
    assert asked.asked == [0.0, 3.0, 60.0]
    assert [told.goes(row) for row in rows] == [True, True]


def test_what_the_quick_look_turns_down_is_no_go_without_another_look() -> None:
    known = {(1.0,): Judged(mass_kg=5.0, missing=0.5, is_go=False)}
    look = Looking(0)
    told = confirmed(found(known), Aim.LIGHTEST, look)
    assert (told.verdict, told.is_go, look.asked) == (Verdict.NO_GO, False, [])


LIGHT = Path(__file__).parents[2] / "examples" / "skerry-light" / "skerry-light.toml"


@pytest.fixture(scope="module")
def light() -> Any:
    return load(LIGHT)


def test_the_whole_look_at_a_design_is_that_of_the_check_and_is_kept(
    light: Any, monkeypatch: Any, tmp_path: Any, compiled_where_it_is: None
) -> None:
    monkeypatch.setenv("FINIAL_CACHE_DIR", str(tmp_path))
    changes = ballast(light.sheet, "steel ballast", 0.9)
    wanted = readiness(light, changes).verdict
    assert whole_verdict(light, changes, {}) is wanted is Verdict.NO_GO
    assert whole_verdict(light, {}, {}) <= Verdict.CAUTION
    monkeypatch.setattr(design_whole, "tried", None)
    assert whole_verdict(light, changes, {}) is wanted


def test_a_motor_that_does_not_fit_the_mount_is_never_go(light: Any, monkeypatch: Any) -> None:
    misfit = MISFIT.at_most(
        exact(2.0), 1.0, subject=Subject(name="another", case="length ahead of the nozzle")
    )
    monkeypatch.setattr(design_whole, "other_misfits", Mock(return_value=(misfit,)))
    monkeypatch.setattr(design_whole, "content_of_sheet", Mock(return_value=None))
    assert whole_verdict(light, {}, {}) is Verdict.NO_GO
