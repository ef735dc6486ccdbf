"""What was looked at for one answer and what was not: a verdict is over these looks and no others."""

from finial.assemble.air.results import StudyState
from finial.findings.readiness import Readiness

CLOSED_FORMS = "closed forms and the flight"
STRENGTH = "strength in every case, fins in the wind"
RECOVERY = "charges, canopies and cords in time"
MANY = "many flights, all that is uncertain drawn anew"
HARDEST = "the hardest flights of a campaign"
FLOW = "the flow round the very shape, in the tunnel"


def looked_at(readiness: Readiness, *, flown_often: bool = False) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return the looks that were taken and those that were not; ``flown_often`` with a campaign beside."""
    tunnel = readiness.air.tunnel
    looks = {
        CLOSED_FORMS: True,
        STRENGTH: readiness.strength_study is not None,
        RECOVERY: readiness.recovery_study is not None,
        MANY: flown_often,
        HARDEST: readiness.hardest_flights,
        FLOW: tunnel is not None and tunnel.state is StudyState.HOLDS,
    }
    return (
        tuple(name for name, looked in looks.items() if looked),
        tuple(name for name, looked in looks.items() if not looked),
    )


def looked_words(readiness: Readiness, *, flown_often: bool = False) -> tuple[str, str]:
    """Say both in a line each."""
    looked, left = looked_at(readiness, flown_often=flown_often)
    return f"Looked at: {'; '.join(looked)}.", f"Not looked at: {'; '.join(left)}." if left else ""
