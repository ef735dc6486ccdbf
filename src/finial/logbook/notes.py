"""What was odd about a log, and what was done about it: data, for the report to say."""

from dataclasses import dataclass
from enum import StrEnum


class NoteKind(StrEnum):
    """Kinds of oddities that a log can be read in spite of."""

    RESTARTED = "restarted"
    """The clock went back: the recorder began anew. Amount: rows of the pieces not used."""
    OUT_OF_ORDER = "out of order"
    """Rows that stood a little before their time were put in order. Amount: rows."""
    REPEATED_TIMES = "repeated times"
    """Rows with the time of the row before were left out. Amount: rows."""
    GAP = "gap"
    """Rows are missing. Amount: the longest gap [s]."""
    ODD_ROWS = "odd rows"
    """Rows that could not be read. Amount: rows."""
    CUT_SHORT = "cut short"
    """The last row ends in the middle: the power went."""
    ZEROS = "zeros"
    """Bytes of zero at the end: the power went. Amount: bytes."""
    ENDS_IN_AIR = "ends in air"
    """The log ends before the landing. Amount: last height above the pad [m]."""
    SATURATED = "saturated"
    """The accelerometer stood at its end: it felt more than it tells. Amount: rows."""
    PRESSURE_LEFT_OUT = "pressure left out"
    """Pressures that no air has there. Amount: rows."""
    SPIKES = "spikes"
    """Readings that nothing which flies makes: charges, knocks. Amount: readings."""
    LIFT_OFFS_DIFFER = "lift-offs differ"
    """Barometer and accelerometer do not agree on lift-off. Amount: by how long [s]."""
    NEAR_SOUND = "near sound"
    """The barometer was left out near the speed of sound. Amount: fastest [m/s]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Note:
    """One oddity."""

    kind: NoteKind
    line: int | None = None
    """Where it first shows."""
    amount: float = 0.0
