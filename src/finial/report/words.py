"""The sentences that stand above everything else: the verdict, and the caution said once."""

from typing import Protocol

from finial.findings.finding import Finding, Verdict

MOTORS_CAUTION = "Never open, make or alter a motor or powder on the word of computed numbers."
CHARGES_CAUTION = "Ground-test every charge, with people clear and eyes covered, before it flies."
BATTERIES_CAUTION = (
    "Arm only on the pad, with the rail upright and everyone back; cells that are crushed, overcharged "
    "or hot burn."
)
FALLS_CAUTION = "What goes up may come down without its canopy: heads up, and nobody under it."
BYSTANDERS_CAUTION = (
    "People who only watch stay as far away as the law says, and those who take part as the code says."
)
CAUTION = " ".join(
    (
        "High-power rocketry hurts people. These are computed numbers with intervals, not a permission: "
        "the range safety officer, the national code, local law and licensed practice decide whether this "
        "vehicle flies. Limits met here are only the limits listed; what is not known is said so and never "
        "counts as go.",
        MOTORS_CAUTION,
        CHARGES_CAUTION,
        BATTERIES_CAUTION,
        FALLS_CAUTION,
        BYSTANDERS_CAUTION,
    )
)
"""The one caution, of motors, charges, batteries, falls and bystanders; parts of it stand beside numbers."""
CARD_CAUTION = f"{CAUTION.partition(' Limits met here')[0]} {FALLS_CAUTION}"
"""What stands above the signatures; the whole caution ends the report."""


class Answered(Protocol):
    """Anything with a verdict over findings: a whole answer, or that of a sheet only begun."""

    @property
    def name(self) -> str:
        """Of the vehicle."""
        ...

    @property
    def note(self) -> str:
        """Under the name."""
        ...

    @property
    def findings(self) -> tuple[Finding, ...]:
        """Worst first."""
        ...

    @property
    def verdict(self) -> Verdict:
        """Over all of them."""
        ...


def verdict_word(verdict: Verdict) -> str:
    """Verdict of one finding in capitals."""
    return verdict.words.upper()


def headline_word(verdict: Verdict) -> str:
    """Verdict of the whole answer: cautions alone still fly."""
    return "GO, WITH CAUTIONS" if verdict is Verdict.CAUTION else verdict_word(verdict)


def answer(readiness: Answered) -> str:
    """Answer the one question, may it fly, in one or two sentences."""
    name, checks = readiness.name, len(readiness.findings)
    failed, unknown, cautions = (
        sum(finding.verdict is verdict for finding in readiness.findings)
        for verdict in (Verdict.NO_GO, Verdict.NOT_KNOWN, Verdict.CAUTION)
    )
    if readiness.verdict is Verdict.NO_GO:
        more = f" and {unknown} cannot be answered yet" if unknown else ""
        return f"No-go: do not fly {name} as it stands. {failed} of {counted(checks, 'check')} fail{more}."
    if readiness.verdict is Verdict.NOT_KNOWN:
        return (
            f"Not known: nothing checked on {name} fails, but {unknown} of {counted(checks, 'check')} cannot "
            "be answered yet, and not known never counts as go."
        )
    last_word = "The range safety officer has the last word."
    if readiness.verdict is Verdict.CAUTION:
        return f"Go, with {counted(cautions, 'caution')} to read, on these numbers for {name}. {last_word}"
    return f"Go, on these numbers for {name}: all {counted(checks, 'check')} meet their limits. {last_word}"


def counted(count: int, what: str) -> str:
    """Say how many there are of something.

    Examples
    --------
    >>> counted(1, "piece"), counted(3, "piece")
    ('1 piece', '3 pieces')
    """
    return f"{count} {what}{'' if count == 1 else 's'}"


_PLENTY = 10.0
"""Ten times the limit and more: the percentage says nothing further [-]."""


def margin_words(margin: float | None) -> str:
    """Say how far the bad end stands from the limit.

    Examples
    --------
    >>> margin_words(-0.25), margin_words(0.1), margin_words(30.0), margin_words(None)
    ('bad end 25 % past the limit', '10 % to spare', 'plenty to spare', '')
    """
    if margin is None:
        return ""
    if abs(margin) >= _PLENTY:
        return "plenty to spare" if margin > 0.0 else "bad end far past the limit"
    percent = f"{abs(100 * margin):.0f} %"
    return f"bad end {percent} past the limit" if margin < 0 else f"{percent} to spare"


def how_far(finding: Finding) -> str:
    """Say how far a finding stands from its limit; what is no go for another reason has nothing to spare."""
    if finding.verdict is not Verdict.GO and (finding.margin or 0.0) >= 0.0:
        return ""
    return margin_words(finding.margin)
