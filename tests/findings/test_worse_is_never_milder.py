"""A worse number never gets a milder verdict, capped or not."""

from hypothesis import given
from hypothesis import strategies as st

from finial.core.estimates import Estimate, KnownBy
from finial.findings.finding import Finding, Verdict
from finial.findings.rule import Rule, softened

RULE = Rule(key="joint-force", stage="recovery", safety=True)
NUMBERS = st.floats(-10.0, 10.0)
WIDTHS = st.floats(0.0, 5.0)


def _about(value: float, width: float) -> Estimate:
    return Estimate(
        value=value, low=value - width, high=value + width, known_by=KnownBy.ASSUMED, method="", source=""
    )


def _capped(finding: Finding) -> Verdict:
    return softened(finding, Verdict.CAUTION).verdict


@given(value=NUMBERS, worse_by=st.floats(0.0, 20.0), width=WIDTHS, limit=NUMBERS)
def test_moving_a_number_against_its_limit_softens_nothing(
    value: float, worse_by: float, width: float, limit: float
) -> None:
    now, lower, higher = (_about(value + by, width) for by in (0.0, -worse_by, worse_by))
    for judge, worse in ((RULE.at_least, lower), (RULE.at_most, higher)):
        before, after = judge(now, limit), judge(worse, limit)
        assert after.verdict >= before.verdict
        assert _capped(after) >= _capped(before)


def test_a_number_about_its_limit_is_capped_like_one_beyond_it() -> None:
    assert _capped(RULE.at_least(_about(1.0, 0.5), 1.0)) is Verdict.CAUTION
    assert _capped(RULE.at_least(_about(0.2, 0.1), 1.0)) is Verdict.CAUTION
    assert _capped(RULE.at_least(_about(2.0, 0.1), 1.0)) is Verdict.GO


def test_what_nobody_knows_stays_not_known() -> None:
    assert _capped(RULE.at_least(None, 1.0)) is Verdict.NOT_KNOWN
