"""What the long look at strength comes to."""

from finial.assemble.strength.fins.records import StayProposal
from finial.assemble.strength.records import InStep, StrengthStudy
from finial.core.dimensions import Dimension
from finial.findings.finding import Amount, Facts, Finding, Fix, Subject, Verdict
from finial.findings.limits import Limit, Limits
from finial.findings.rule import Rule, softened
from finial.findings.rules.strength_rules import heat_findings, reserve_findings

IN_STEP = "sheds-in-step"
NOTHING_IN_STEP = Rule(key="nothing-sheds-in-step", stage="strength", source="modes of fins and walls")
STAYS = Rule(
    key="stays-would-help",
    stage="strength",
    source="search in the fin's own modes, worked out again in the plate",
)


def strength_study_findings(study: StrengthStudy, limits: Limits) -> list[Finding]:
    """Judge the worst reserve of each way to fail, in flight and on the ground, the heat, and stays."""
    proposals = [_proposed(fin.name, fin.proposal) for fin in study.fins if fin.proposal is not None]
    return [
        *reserve_findings(study.reserves, limits),
        *proposals,
        *heat_findings(study.heat),
        *_in_step(study, limits),
    ]


def _in_step(study: StrengthStudy, limits: Limits) -> list[Finding]:
    """Judge what swings as often as a ledge or leg sheds; one finding says so where nothing does."""
    if not study.in_step:
        return [NOTHING_IN_STEP.holds(Verdict.GO)]
    return [_shaken(one, limits["reserve"]) for one in study.in_step]


def _shaken(one: InStep, least: Limit) -> Finding:
    """Say a caution at worst: what vortices push in step is hardly known."""
    rule = Rule(key=IN_STEP, stage="strength", source=least.source, safety=True)
    found = rule.at_least(
        one.reserve,
        least.value,
        subject=Subject(name=one.name, station_m=one.source_m, case=one.swinger.value),
        facts={
            "source": one.source.value,
            "height": Amount(value=one.height_m, dimension=Dimension.LENGTH),
            "hertz": round(one.frequency_hz.value),
            "speed": Amount(value=one.speed, dimension=Dimension.SPEED),
        },
        fixes=(Fix(key="out-of-step"),),
    )
    return softened(found, Verdict.CAUTION)


def _proposed(name: str, proposal: StayProposal) -> Finding:
    """Say which stays would help, a caution beside the flutter that fails."""
    speed, facts = proposal.after.flutter, _facts(proposal)
    return STAYS.holds(
        Verdict.CAUTION,
        subject=Subject(name=name),
        facts=facts,
        reasons=("reached" if speed else "no-flutter",),
        fixes=(Fix(key="try" if proposal.reaches else "not-enough", facts=facts),),
    )


def _facts(proposal: StayProposal) -> Facts:
    pair, speed = proposal.pair, proposal.after.flutter
    return {
        "along": Amount(value=pair.along_m, dimension=Dimension.LENGTH),
        "outward": Amount(value=pair.outward_m, dimension=Dimension.LENGTH),
        "thick": Amount(value=pair.diameter_m, dimension=Dimension.LENGTH),
        "tension": Amount(value=pair.preload_n, dimension=Dimension.FORCE),
        "backing": Amount(value=proposal.backing_m, dimension=Dimension.LENGTH),
        "behind": proposal.backing_of,
        "wanted": Amount(value=proposal.wanted_m_s, dimension=Dimension.SPEED),
        **({"reached": Amount(value=speed.low, dimension=Dimension.SPEED)} if speed else {}),
    }
