"""The form of a finding's sentences."""

from collections.abc import Mapping
from dataclasses import dataclass, field

GROUND_TEST = "Always ground-test the charge, by or with someone licensed and practised, before it flies."
ALSO = "also-"
"""How the keys of reasons begin that name one thing more, and are told in one sentence."""
DECIDES = "The range safety officer and the local rules decide, not this table."


@dataclass(frozen=True, slots=True, kw_only=True)
class Wording:
    """What a finding is called, why it matters, what was asked, and what to change.

    In every sentence ``{name}``, ``{case}`` and ``{station}`` stand for the subject's, other names for
    the finding's facts.
    """

    title: str
    why: str = ""
    limits: Mapping[str, str] = field(default_factory=dict[str, str])
    """What was asked where it is no number, by the key of the limit."""
    reasons: Mapping[str, str] = field(default_factory=dict[str, str])
    """Further sentences on why it matters here."""
    fixes: Mapping[str, str] = field(default_factory=dict[str, str])
    elsewhere: frozenset[str] = frozenset()
    """Reasons and fixes that only others of its family have: left out where the check is explained."""
