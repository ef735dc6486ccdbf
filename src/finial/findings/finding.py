"""A finding: one check as data. What it says in words is made in the report, in the builder's units."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from enum import Enum, IntEnum

from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate

_WORDS = {"GO": "go", "CAUTION": "caution", "NOT_KNOWN": "not known", "NO_GO": "no-go"}


class Verdict(IntEnum):
    """Worst is largest. Not known never counts as go."""

    GO = 0
    CAUTION = 1
    NOT_KNOWN = 2
    NO_GO = 3

    @property
    def words(self) -> str:
        """The words shown to the builder."""
        return _WORDS[self.name]


class Sense(Enum):
    """Which way a limit is meant."""

    AT_LEAST = "at least"
    AT_MOST = "at most"
    HOLDS = "holds"
    """A plain yes or no."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Amount:
    """A number that the words of a finding need, in SI, with what it counts."""

    value: float | Estimate
    dimension: Dimension | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Subject:
    """What a finding is about: the thing by its own name, where it is, and the case or moment."""

    name: str = ""
    station_m: float | None = None
    case: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class OtherCheck:
    """Another check that the words of a finding name."""

    key: str
    subject: Subject
    facts: Mapping[str, str | int | Amount] = field(default_factory=dict[str, str | int | Amount])


@dataclass(frozen=True, slots=True, kw_only=True)
class FailsAlone:
    """A part that loses a canopy when it fails alone, and what a second one beside it would leave."""

    name: str
    kind: str
    left: float | None = None
    """Odds of losing the canopy that a second one leaves, over today's [-]; ``None`` where nobody counted."""


Fact = str | int | Amount | OtherCheck | tuple[FailsAlone, ...]
Written = str | int | dict[str, str | int]
"""What a fix writes at a place of the sheet."""
Facts = Mapping[str, Fact]
"""What stands in the places of a sentence: names from the sheet, whole numbers, amounts."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bound:
    """The limit of a finding, and who says so."""

    sense: Sense
    value: float | None = None
    source: str = ""
    key: str = ""
    """Which sentence says a limit that is no number."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fix:
    """One thing to change: its sentence by key, the numbers in it, and the change to the sheet."""

    key: str
    facts: Facts = field(default_factory=dict[str, Fact])
    changes: Mapping[str, Written] = field(default_factory=dict[str, Written])
    """Field by the sheet's own names, such as ``steel ballast.mass``, and what to write there."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Moved:
    """What a change that was tried did to another check."""

    key: str
    subject: Subject
    facts: Facts
    was: Verdict
    now: Verdict
    dimension: Dimension | None
    less: float | None
    """How much nearer to its limit, or farther past it, the bad end came [SI]; ``None`` without a number."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One change of a set: what is pulled at, from what to what [SI]."""

    lever: str
    name: str
    was: float
    size: float
    dimension: Dimension
    to: str = ""
    """What it then is of, where that is a thing and no number: a plate."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """One change to the sheet that was tried for a finding, and what came of it."""

    lever: str
    """What was pulled at: ``ballast``, ``span``, ``walls``."""
    name: str
    """What it belongs to in the sheet; empty where there is only one."""
    was: float
    size: float
    """What it then is [SI]; a share of what it was where the dimension is a ratio."""
    dimension: Dimension
    turns: bool
    """True when a failing finding then fails no longer, or a caution is then none; else the size is the most
    that was tried."""
    deep: bool = False
    """True when what it moves was looked for in the whole look, and not only in the quick one."""
    to: str = ""
    """What it then is of, where that is a thing and no number: a plate."""
    moved: tuple[Moved, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """What was checked on what, the value with its interval, the limit, and what to do.

    ``margin`` is how far the bad end stands from the limit as a fraction of the limit,
    negative when it is passed, ``None`` when not known.
    """

    key: str
    """Which check, the same in every version: ``margin``, ``pins-hold``."""
    stage: str
    """Stage it belongs to, such as ``stability``, ``recovery`` or ``range``."""
    subject: Subject
    verdict: Verdict
    value: Estimate | None
    dimension: Dimension | None
    bound: Bound
    margin: float | None
    facts: Facts = field(default_factory=dict[str, Fact])
    reasons: tuple[str, ...] = ()
    """Keys of further sentences on why it matters here."""
    fixes: tuple[Fix, ...] = ()
    cause: str = ""
    """What lies behind it, where several findings share that."""
    safety: bool = False
    """True when a motor, charge, battery, fall or bystander is concerned."""
    urgent: bool = False
    """True for what must be read before all else of its verdict: the flight is lost."""
    trials: tuple[Trial, ...] = ()
    """Changes that were tried for it, those that turn it first."""
    spoiled: bool = False
    """True when the value follows from a computed flight that was lost: it is not to be used."""

    def __hash__(self) -> int:
        """Tell findings apart by what was checked on what, and what was found."""
        return hash((self.key, self.subject, self.verdict, self.value, self.margin))

    @property
    def fails(self) -> bool:
        """True for what keeps the vehicle on the ground: no-go, or not known."""
        return self.verdict in (Verdict.NO_GO, Verdict.NOT_KNOWN)


def bearable(verdict: Verdict) -> Verdict:
    """Return the worst verdict with which one like this has turned: a caution for what fails, else go."""
    return Verdict.CAUTION if verdict > Verdict.CAUTION else Verdict.GO


def overall(findings: Iterable[Finding]) -> Verdict:
    """Worst verdict among the findings; nothing checked is not known.

    Caution alone still flies: the overall verdict of go and caution is go with cautions listed.
    """
    return max((finding.verdict for finding in findings), default=Verdict.NOT_KNOWN)


def worst_first(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Order findings by verdict, worst first, and by how little within one verdict."""
    return tuple(sorted(findings, key=_badness))


def _badness(finding: Finding) -> tuple[int, bool, float]:
    """Put a plain no before a limit that is missed by so much, and what is met without a number last."""
    plain = float("-inf") if finding.verdict is Verdict.NO_GO else float("inf")
    return -finding.verdict, not finding.urgent, finding.margin if finding.margin is not None else plain
