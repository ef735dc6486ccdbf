"""Does the day's cold leave printed parts tough enough for a knock?"""

from collections.abc import Iterable
from dataclasses import replace

from finial.assemble.strength.results import ColdCase
from finial.core.dimensions import Dimension
from finial.findings.finding import Finding, Fix, Subject, Verdict
from finial.findings.rule import Rule

COLD = Rule(
    key="brittle-in-the-cold",
    stage="strength",
    dimension=Dimension.TEMPERATURE,
    source="common practice: the coldest in which prints of that plastic are usually knocked about",
    safety=True,
)
NOTHING_BRITTLE = Rule(key="nothing-brittle", stage="strength", source="the materials of the parts")


def cold_findings(cases: Iterable[ColdCase]) -> list[Finding]:
    """Judge what is brittle first: no strength of such cold is known; a chance of it is a caution."""
    worst = max(cases, key=lambda case: case.brittle_below_k, default=None)
    if worst is None:
        return [NOTHING_BRITTLE.holds(Verdict.GO)]
    found = COLD.at_least(
        worst.air,
        worst.brittle_below_k,
        subject=Subject(name=worst.part, station_m=worst.station_m),
        fixes=(Fix(key="warmer"),),
    )
    if worst.air.low >= worst.brittle_below_k:
        return [found]
    colder = worst.air.value < worst.brittle_below_k
    return [replace(found, verdict=Verdict.NOT_KNOWN if colder else Verdict.CAUTION)]
