"""A finding: one check, said so that a builder can act on it."""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import IntEnum

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


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """What was checked, the value with its interval, the limit, and what to do.

    ``margin`` is how far the bad end stands from the limit as a fraction of the limit,
    negative when it is passed, ``None`` when not known.
    """

    subject: str
    """Stage it belongs to, such as ``stability``, ``recovery`` or ``range``."""
    name: str
    verdict: Verdict
    value: Estimate | None
    dimension: Dimension | None
    limit: str
    """The limit in words and the builder's units, such as ``at least 13 m/s``."""
    margin: float | None
    why: str
    fix: str
    source: str
    safety: bool = False
    """True when a motor, charge, battery, fall or bystander is concerned."""


def overall(findings: Iterable[Finding]) -> Verdict:
    """Worst verdict among the findings; nothing checked is not known.

    Caution alone still flies: the overall verdict of go and caution is go with cautions listed.
    """
    return max((finding.verdict for finding in findings), default=Verdict.NOT_KNOWN)
