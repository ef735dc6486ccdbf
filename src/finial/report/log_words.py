"""Words for what a log shows: what happened, how surely, what was odd."""

from finial.flown.happening import Certainty, Seen
from finial.logbook.notes import Note, NoteKind
from finial.report.shown import Shown

SEEN = {
    Seen.LIFT_OFF: "lift-off",
    Seen.RAIL_EXIT: "left the rail",
    Seen.BURNOUT: "burnout",
    Seen.APOGEE: "apogee",
    Seen.SEPARATION: "separation",
    Seen.CANOPY_FULL: "canopy full",
    Seen.LANDING: "landing",
}
CERTAINTY = {
    Certainty.SURE: "two sensors",
    Certainty.LIKELY: "one sensor, clearly",
    Certainty.HINT: "a hint",
}
_NOTES = {
    NoteKind.RESTARTED: "The clock went back at {line}: the recorder began anew; {amount:.0f} rows of other"
    " pieces are not used.",
    NoteKind.OUT_OF_ORDER: "{amount:.0f} times rows stood before their time, first at {line}; put in order.",
    NoteKind.REPEATED_TIMES: "{amount:.0f} rows carry the time of the row before, and are left out.",
    NoteKind.GAP: "Rows are missing: {amount:.2f} s after {line}, the longest gap.",
    NoteKind.ODD_ROWS: "{amount:.0f} rows could not be read, the first is {line}; left out.",
    NoteKind.CUT_SHORT: "The log breaks off in the middle of {line}: the power went, or the memory was full.",
    NoteKind.ZEROS: "{amount:.0f} bytes of nothing follow {line}: the power went while it wrote.",
    NoteKind.ENDS_IN_AIR: "The log ends before the landing, {height} above the pad.",
    NoteKind.SATURATED: "The accelerometer stood at its end in {amount:.0f} rows from {line} on: it felt more"
    " than it tells.",
    NoteKind.PRESSURE_LEFT_OUT: "{amount:.0f} pressures that no air has there are left out.",
    NoteKind.SPIKES: "{amount:.0f} readings are passed over: nothing that flies moves so"
    " (a charge, a knock).",
    NoteKind.LIFT_OFFS_DIFFER: "The barometer tells lift-off {amount:+.1f} s from the accelerometer: it lags,"
    " or the two are not of one flight.",
    NoteKind.NEAR_SOUND: "It came to {speed}: near the speed of sound a port tells nothing, and the barometer"
    " is left out there.",
}


def note_words(note: Note, shown: Shown) -> str:
    """Say what was odd about a log and what was done about it.

    Examples
    --------
    >>> note_words(Note(kind=NoteKind.GAP, line=120, amount=0.61), Shown(us_units=False))
    'Rows are missing: 0.61 s after line 120, the longest gap.'
    """
    line = "the start" if note.line is None else f"line {note.line}"
    return _NOTES[note.kind].format(
        line=line, amount=note.amount, height=shown.height(note.amount), speed=shown.speed(note.amount)
    )
