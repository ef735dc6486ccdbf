"""What the computers sense: ports, heights, clocks, lift-off."""

from finial.report.wording.form import Wording

_ENTER = (
    "Enter the holes under [[electronics.port]] as {name}: station, holes, bay_volume; a computer without a"
    " barometer gets the holes of the bay it stands in."
)
_TOLD = {"told": "holes in the skin that the sheet describes"}

WORDS = {
    "ports-size": Wording(
        title="size of {name}",
        why="Holes too small for their bay let the pressure in late: {computers} read low going up, high"
        " coming down.",
        limits=_TOLD,
        fixes={"enter": _ENTER, "larger": "{holes} x {across} at least, or less air behind them."},
    ),
    "ports-even": Wording(
        title="{name} alike and evenly round",
        why="One hole, two, or unlike ones show the wind's push as height, whichever way the vehicle turns.",
        limits=_TOLD,
        fixes={"enter": _ENTER, "alike": "Three holes or more, of one size, evenly round the body."},
    ),
    "ports-smooth": Wording(
        title="{name} clear of ledges, in reaches of the nearest",
        why="Behind or before a ledge the pressure is not the air's, and jumps as the flow does.",
        limits=_TOLD,
        fixes={
            "enter": _ENTER,
            "move": "Move {name} to a smooth side: two heights of a step ahead of it, six behind it.",
        },
    ),
    "ports-behind": Wording(
        title="room behind {name}",
        why="A charge that fires behind the holes blows out of them, and what it blows in reads as a fall.",
        limits={"": "the computers' own room, and no bay of a charge"},
        reasons={"bay": "At their station stands {bay}, and no sled beside it."},
        fixes={
            "beside-sled": "Put the holes of {name} beside the sled, with a closed bulkhead to every bay."
        },
    ),
    "barometer-rises": Wording(
        title="fall of the reading behind {name} before the top",
        why="Pressure on the skin changes with the speed: a reading that falls on the way up looks like"
        " apogee.",
        limits=_TOLD,
        reasons={"seen": "Coefficient there {low} to {high}; lag at the fastest climb {lag}."},
        fixes={
            "enter": _ENTER,
            "move": "Move {name} away from ledges, larger holes, or a computer that trusts its accelerometer"
            " on the way up.",
        },
    ),
    "height-fired": Wording(
        title="true height when {case} fires {name} at {set}",
        why="On a cold day a barometer shows more height than there is; wind over the holes and lag add to"
        " it.",
        fixes={
            "enter": "Describe the port of {case} under [[electronics.port]], and set a height that every"
            " flight falls through.",
            "higher": "Set it higher, or larger, more even holes.",
        },
    ),
    "first-motion": Wording(
        title="height at which {name} sees lift-off",
        why="A gust over the holes may look like a climb and start the flight on the pad; too late, and"
        " clocks are late.",
        limits={"top": "below the lowest top, {top}"},
        reasons={"never": "It may never take this flight, with its top at {top}, for begun."},
        fixes={"enter": "Enter lift_off_height of {name} from its manual, or wait for less wind."},
    ),
    "timer-after-top": Wording(
        title="time from the top to the clock of {name}",
        why="A clock that fires before the top opens at speed. Tops {earliest} to {latest} after lift-off"
        " over flight and corners; finial campaign counts them over many.",
        fixes={"later": "Set the clock of {name} later than the latest top, {latest}, and a second on it."},
    ),
    "mach-lockout": Wording(
        title="Mach number that {name} may trust its barometer at",
        why="Near the speed of sound shocks pass over the holes, and the reading jumps. Lockout: {said}.",
        limits={"locked": "a lockout near the speed of sound"},
        fixes={"lock": "Set the lockout of {name}, and enter mach_lockout = true; or fly slower."},
    ),
}
