"""What a reserve says in words: what gives way, loaded to what, and what to change."""

from collections.abc import Sequence

from finial.findings.finding import Verdict
from finial.findings.limits import Limits
from finial.findings.rules.strength_rules import reserve_finding
from finial.report.finding_words import what_to_change, why
from finial.report.shown import NOT_KNOWN, Shown
from finial.report.wording.strength import GIVES
from finial.structure.reserves import FailureMode, Reserve


def gives_way(row: Reserve) -> str:
    """Say what gives way.

    Examples
    --------
    >>> from finial.core.dimensions import Dimension
    >>> gives_way(Reserve(mode=FailureMode.STAY_BREAKS, station_m=1.0, dimension=Dimension.FORCE,
    ...     subject="main fins", numbers={"stay": 2.0}))
    'stay 2 of main fins breaks'
    """
    return GIVES[row.mode].format(name=row.subject, stay=f"{row.numbers.get('stay', 1.0):.0f}")


def mode_words(mode: FailureMode | None) -> str:
    """Say a way to fail of the body, of no part in particular; none is not known.

    Examples
    --------
    >>> mode_words(FailureMode.WALL_WRINKLES), mode_words(FailureMode.JOINT_OPENS)
    ('wall wrinkles', 'joint opens')
    """
    return GIVES[mode].replace(" of {name}", "").replace(" behind {name}", "") if mode else NOT_KNOWN


def load_words(row: Reserve, rows: Sequence[Reserve], limits: Limits, shown: Shown) -> str:
    """Say what it is loaded to and holds, and why that is so."""
    return why(reserve_finding(row, rows, limits), shown)


def change_words(row: Reserve, rows: Sequence[Reserve], limits: Limits, shown: Shown) -> str:
    """Say what to change; nothing where it holds."""
    found = reserve_finding(row, rows, limits)
    return "" if found.verdict is Verdict.GO else what_to_change(found, shown)


def swing_words(twists: bool) -> str:
    """Say what a fin does in a mode."""
    return "twists" if twists else "bends"
