"""The sentences of every finding, by its key; one module a stage. Numbers and names are put in later."""

from finial.report.wording import (
    air,
    electronics,
    fittings,
    flight,
    general,
    inside,
    range_safety,
    recovery,
    recovery_study,
    sensing,
    stability,
    strength,
)
from finial.report.wording.form import Wording

WORDINGS: dict[str, Wording] = {
    **general.WORDS,
    **inside.WORDS,
    **fittings.WORDS,
    **air.WORDS,
    **stability.WORDS,
    **strength.WORDS,
    **flight.WORDS,
    **recovery.WORDS,
    **recovery_study.WORDS,
    **electronics.WORDS,
    **sensing.WORDS,
    **range_safety.WORDS,
}
"""Every check that there is."""
