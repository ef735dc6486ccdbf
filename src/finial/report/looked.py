"""What was looked at for one answer and what was not: a verdict is over these looks and no others."""

from finial.findings.readiness import Readiness

CLOSED_FORMS = "closed forms and the flight"
STRENGTH = "strength in every case, fins in the wind"
RECOVERY = "charges, canopies and cords in time"
HARDEST = "the hardest flights of a campaign"
FLOW = "the flow round the very shape"


def looked_at(readiness: Readiness) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return the looks that the verdict rests on, and those that it does not."""
    looks = {
        CLOSED_FORMS: True,
        STRENGTH: readiness.strength_study is not None,
        RECOVERY: readiness.recovery_study is not None,
        HARDEST: readiness.hardest_flights,
        FLOW: False,
    }
    return (
        tuple(name for name, looked in looks.items() if looked),
        tuple(name for name, looked in looks.items() if not looked),
    )


def looked_words(readiness: Readiness) -> tuple[str, str]:
    """Say both in a line each."""
    looked, left = looked_at(readiness)
    return f"Looked at: {'; '.join(looked)}.", f"Not looked at: {'; '.join(left)}." if left else ""
