"""Is enough of the mass weighed, and is the balance point known?"""

from collections.abc import Iterator
from dataclasses import replace

from finial.assemble.mass.results import MassResult, MassRow, WholeWeighed
from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate, KnownBy
from finial.findings.finding import Amount, Finding, Fix, Subject, Verdict
from finial.findings.limits import Limits
from finial.findings.rule import Rule

GUESSED = Rule(key="guessed-mass", stage="mass", dimension=Dimension.RATIO)
WEIGHT = Rule(key="part-weight", stage="mass", dimension=Dimension.MASS, source="common practice")
WEIGHTS = Rule(key="part-weights", stage="mass", source="common practice")
WEIGHT_SHARE = 0.33
"""How far a weighed part may lie from what its mesh gives, beyond the spread of prints [-]; a judgement
of this project: paint, inserts and more lines explain a third, not twice as much."""
WEIGHT_TIMES = 2.0
"""How many times beyond that it is another part, or another unit [-]; a judgement of this project."""
WHOLE = Rule(key="whole-weighed", stage="mass", source="common practice")
WHOLE_MASS = Rule(
    key="whole-mass", stage="mass", dimension=Dimension.MASS, source="the mass table against the scale"
)
WHOLE_BALANCE = Rule(
    key="whole-balance",
    stage="mass",
    dimension=Dimension.LENGTH,
    source="the mass table against the point where it hangs level",
)
_MOST_NAMED = 3


def mass_findings(mass: MassResult, limits: Limits) -> list[Finding]:
    """Judge how much of the lift-off mass is only assumed."""
    guessed = [row for row in mass.rows if row.mass.known_by is KnownBy.ASSUMED]
    share = sum(row.mass.value for row in guessed) / mass.lift_off.mass_kg
    value = Estimate(
        value=share, low=share, high=share, known_by=KnownBy.COMPUTED, method="sum of assumed rows"
    )
    fixes = (Fix(key="weigh", facts={"rows": _named(guessed)}),) if guessed else ()
    most = limits["assumed_mass_share"]
    finding = replace(GUESSED, source=most.source).at_most(value, most.value, fixes=fixes)
    # Too much guessed does not forbid the flight: it leaves the answer open. Where the whole was weighed
    # and hung, only how the mass lies along the body stays a guess.
    whole = mass.weighed
    known = whole is not None and whole.agrees and whole.balance is not None
    mildest = Verdict.CAUTION if known else Verdict.NOT_KNOWN
    return [replace(finding, verdict=min(finding.verdict, mildest)), *_weights(mass), *_whole(whole)]


def _whole(whole: WholeWeighed | None) -> Iterator[Finding]:
    """Judge the mass table against the whole on a scale and hung: what it cannot explain is in no row."""
    hung = whole is not None and whole.balance is not None
    yield WHOLE.holds(Verdict.GO if hung else Verdict.CAUTION, fixes=(Fix(key="hang" if whole else "weigh"),))
    if whole is None:
        return
    yield WHOLE_MASS.holds(
        Verdict.GO if whole.mass_agrees else Verdict.NO_GO,
        value=whole.mass,
        facts={"table": Amount(value=whole.table_mass, dimension=Dimension.MASS)},
        fixes=(Fix(key="look"),),
    )
    if whole.balance is not None:
        yield WHOLE_BALANCE.holds(
            Verdict.GO if whole.balance_agrees else Verdict.NO_GO,
            value=whole.balance,
            facts={"table": Amount(value=whole.table_balance, dimension=Dimension.LENGTH)},
            fixes=(Fix(key="look"),),
        )


def _weights(mass: MassResult) -> Iterator[Finding]:
    """Judge each weighed part against its mesh: where they differ much, nobody knows what was printed."""
    doubtful = [judged for row in mass.rows if row.drawn and (judged := _weight(row, row.drawn)).fails]
    yield from doubtful or [WEIGHTS.holds(Verdict.GO)]


def _weight(row: MassRow, drawn: Estimate) -> Finding:
    least, most = drawn.low / (1.0 + WEIGHT_SHARE), drawn.high * (1.0 + WEIGHT_SHARE)
    agrees = least <= row.mass.value <= most
    far = row.mass.value > WEIGHT_TIMES * most or row.mass.value < least / WEIGHT_TIMES
    return replace(WEIGHT, urgent=far).holds(
        Verdict.GO if agrees else Verdict.NO_GO if far else Verdict.NOT_KNOWN,
        value=row.mass,
        subject=Subject(name=row.name, station_m=row.station_m),
        facts={"computed": Amount(value=drawn, dimension=Dimension.MASS)},
        fixes=(Fix(key="look"),),
    )


def _named(rows: list[MassRow]) -> str:
    return ", ".join(row.name for row in sorted(rows, key=lambda row: -row.mass.value)[:_MOST_NAMED])
