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
        fixes={"enter": _ENTER, "larger": "It takes {holes} x {across}, or less air behind them."},
    ),
    "ports-large": Wording(
        title="area of {name} against what their bay asks for",
        why="Through holes far larger than their bay needs, {computers} read the gusts over them.",
        limits=_TOLD,
        fixes={
            "enter": _ENTER,
            "smaller": "A quarter of that is what the trade's rule asks for.",
        },
    ),
    "ports-room": Wording(
        title="air behind {name}, against the room that is drawn there",
        why="The lag of the reading hangs on that air; one of two numbers for one room is wrong.",
        limits=_TOLD,
        fixes={
            "enter": _ENTER,
            "measure": "Between the nearest bulkheads there is no more room than that: measure bay_volume, or"
            " say which plate closes it.",
            "box": "Between the nearest bulkheads {room} are drawn: enter that as bay_volume, or shut the"
            " computers in a box that the holes alone open into.",
        },
    ),
    "ports-even": Wording(
        title="{name} alike and evenly round",
        why="One hole, two, or unlike ones show the wind's push as height, whichever way the vehicle turns.",
        limits=_TOLD,
        fixes={"enter": _ENTER, "alike": "It takes three holes, of one size, evenly round the body."},
    ),
    "ports-smooth": Wording(
        title="{name} clear of ledges, in reaches of the nearest",
        why="Behind or before a ledge the pressure is not the air's, and jumps as the flow does.",
        limits=_TOLD,
        fixes={
            "enter": _ENTER,
            "move": "{name} stand smooth two heights ahead of a step, and six behind it.",
        },
    ),
    "ports-behind": Wording(
        title="room behind {name}",
        why="A computer reads the room it stands in, and a charge that fires there reads as a fall.",
        limits={"": "the computers' own room, and no bay of a charge"},
        reasons={
            "bay": "At their station stands {bay}, and no sled beside it.",
            "shut": "At their station the room of no sled goes on: print or a motor's tube fills it.",
        },
        fixes={"beside-sled": "The holes of {name} open into a bay, or nothing closed stands between."},
    ),
    "barometer-rises": Wording(
        title="fall of the reading behind {name} before the top",
        why="Pressure on the skin changes with the speed: a reading that falls on the way up looks like"
        " apogee.",
        limits=_TOLD,
        reasons={"seen": "Coefficient there {low} to {high}; lag at the fastest climb {lag}."},
        fixes={
            "enter": _ENTER,
            "move": "Ledges beside {name}, the size of the holes and what the computer trusts on the way up"
            " decide it.",
        },
    ),
    "height-fired": Wording(
        title="true height when {case} fires {name} at {set}",
        why="On a cold day a barometer shows more height than there is; wind over the holes and lag add to"
        " it.",
        fixes={
            "enter": "Describe the port of {case} under [[electronics.port]], and set a height that every"
            " flight falls through.",
            "higher": "Its height is less than what the barometer may be off by.",
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
    "lift-off-felt": Wording(
        title="acceleration that the accelerometer of {name} feels for {held} at lift-off",
        why="A computer that does not feel the flight begin starts no clock and looks for no top.",
        fixes={"lower": "The motor pushes less, or shorter, than {name} asks for."},
    ),
    "lift-off-knocked": Wording(
        title="time that {name} must feel its lift-off",
        why="A vehicle set down hard or slid onto its stop is no flight: one that takes it for one may fire"
        " on the pad, with people beside it.",
        limits={"rest": "a threshold above what it feels at rest, offset and all"},
        fixes={
            "longer": "A knock reaches the threshold of {name} for as long as it asks.",
            "over-rest": "Standing still exceeds the threshold of {name}.",
        },
    ),
    "lift-off-carried": Wording(
        title="acceleration that {name} takes for lift-off",
        why="Hands, steps and a rail that is raised shake it for as long as they like.",
        fixes={"higher": "Carrying reaches the threshold of {name}."},
    ),
    "timer-after-top": Wording(
        title="time from the top to the clock of {name}",
        why="A clock that fires before the top opens at speed. Tops {earliest} to {latest} after lift-off.",
        reasons={
            "corners": "That is over the flight and its corners; finial campaign tells it of many.",
            "campaign": "That is over {flights} flights of the campaign kept beside the sheet.",
        },
        fixes={"later": "The latest top is at {latest}: the clock of {name} has to run a second longer."},
    ),
    "mach-lockout": Wording(
        title="Mach number that {name} may trust its barometer at",
        why="Near the speed of sound shocks pass over the holes, and the reading jumps. Lockout: {said}.",
        limits={"locked": "a lockout near the speed of sound"},
        fixes={"lock": "{name} has no lockout entered (mach_lockout), and it flies this fast."},
    ),
    "top-early": Wording(
        title="how far ahead of the top {name} may fire",
        why="A canopy let out early meets the speed that is left, and the cord stops it at once.",
        fixes={
            "accelerometer": "The accelerometer's range, offset and axis decide it; a top found by the"
            " barometer does not hang on them.",
        },
    ),
    "top-late": Wording(
        title="how far behind the top {name} may fire",
        why="What falls for seconds before its canopy comes out opens it at speed.",
        fixes={
            "accelerometer": "The accelerometer's offset decides it; a top found by the barometer does"
            " not hang on it.",
        },
    ),
    "accelerometer-range": Wording(
        title="acceleration that the accelerometer of {name} feels",
        why="Beyond its range it reads too little: the speed it adds up is too low, and it fires ahead of"
        " the top.",
        fixes={"wider": "The accelerometer reads no further than its range."},
    ),
    "computers-disagree": Wording(
        title="first of the computers that fire at the top",
        why="Computers do not vote: the first to fire has fired, and the others find the bay open.",
        limits={
            "one": "no second computer that fires at the top",
            "all": "every computer that fires at the top with ports that the sheet describes",
        },
        reasons={
            "apart": "Between the first and the last may lie {apart}.",
            "together": "All read one pressure, through {ports}: if that is wrong they are wrong together.",
        },
        fixes={
            "enter": "Describe every port that a computer names under [[electronics.port]].",
            "first": "What fires first: {first}.",
            "own-sense": "Give one of them holes and a room of its own, or an accelerometer for the top.",
        },
    ),
}
