"""What a leader's advice says already is not said again of what follows from the same cause."""

from dataclasses import replace

import pytest

from finial.core.dimensions import Dimension
from finial.findings.finding import Finding, Trial, Verdict
from finial.report.finding_words import what_else_to_change, what_to_change
from finial.report.pdf import report_data


def trial(lever: str, size: float = 2.0) -> Trial:
    return Trial(lever=lever, name="nose", was=1.0, size=size, dimension=Dimension.MASS, turns=True)


@pytest.fixture
def leader(readiness) -> Finding:
    return replace(readiness.findings[0], verdict=Verdict.NO_GO, cause="balance", trials=(trial("ballast"),))


def other(leader: Finding, *trials: Trial) -> Finding:
    return replace(leader, subject=replace(leader.subject, name="another"), trials=trials)


def test_the_same_check_at_another_moment_says_nothing_of_its_own(leader) -> None:
    later = replace(leader, subject=replace(leader.subject, case="another moment"), trials=(trial("rail"),))
    assert what_else_to_change(later, leader) == ""


def test_what_was_tried_for_the_leader_is_told_there_down_to_its_size(leader) -> None:
    assert what_else_to_change(other(leader, trial("ballast")), leader) == ""
    larger = other(leader, trial("ballast", size=3.0))
    assert what_else_to_change(larger, leader) == what_to_change(larger)


def test_the_pdf_says_it_once_too(readiness, leader) -> None:
    same, own = other(leader, trial("ballast")), other(leader, trial("rail"))
    own = replace(own, subject=replace(own.subject, name="a third"))
    told = report_data(replace(readiness, findings=(leader, same, own)))
    (card,) = told["open"]
    assert card["fix"]
    assert [one["fix"] == "" for one in card["with"]] == [True, False]
