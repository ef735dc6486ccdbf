"""Currents, batteries, switches and what fails alone."""

from finial.report.wording.form import Wording

WORDS = {
    "switch-odds": Wording(
        title="own count of failures of {name}",
        why="A switch that fails open leaves its computer dead; one that closes arms it among people.",
        limits={"none": "none counted: those of its kind are taken"},
        fixes={"another": "A switch that failed so often is none to fly with."},
    ),
    "firing-current": Wording(
        title="firing current of {name}",
        why="An igniter that gets barely enough current may not fire on a cold day.",
        limits={"": "twice the all-fire current, which the sheet does not give"},
        fixes={
            "enter-all-fire": "Enter all_fire of {name} from its data sheet.",
            "more-current": "It takes {share} % of the resistance from the cells to {name}, or as"
            " much more voltage.",
        },
    ),
    "pad-time": Wording(
        title="pad time of {name}",
        why="A battery that runs down on the pad takes the recovery with it.",
        limits={"": "twice the planned wait"},
        fixes={
            "enter-wait": "Enter launch.wait_on_pad.",
            "enter-capacity": "Enter capacity of {name} and the computers' current_on_pad.",
            "larger": "It takes a battery of {times} times the capacity.",
            "keep-warm": "No larger battery of its kind is enough: in that cold it gives nothing.",
        },
    ),
    "single-points": Wording(
        title="single points of failure",
        why="One part that fails alone and keeps a canopy in its bay is a ballistic landing. Alone by nature,"
        " and bound to hold: {alone}.",
        limits={"": "none but canopies, their joints and their cords"},
        reasons={"in-vain": "Two computers fire it, and one battery or switch silences both."},
        fixes={"second-part": "Alone: {points}."},
    ),
    "own-event": Wording(
        title="canopies fired at their own event",
        why="A canopy let out at another event than planned opens at the wrong speed or height.",
        limits={"": "each canopy's own event"},
        fixes={"set-event": "Set the igniter's event to that of {canopies}."},
    ),
    "canopies-fired": Wording(
        title="canopies that something fires out",
        why="A canopy that nothing lets out is a ballistic landing.",
        limits={"": "every canopy has a way from a battery to a charge in its bay"},
        fixes={"give-igniter": "Wire an igniter to a charge in the bay of {canopies}."},
    ),
    "computers-fire": Wording(
        title="computers that fire something",
        why="A computer that fires nothing is weight, and somebody may believe in it.",
        limits={"": "every computer has an igniter"},
        fixes={"wire": "Give {computers} an igniter, or take it out of the sheet."},
    ),
    "stays-up": Wording(
        title="voltage to spare for {name} while {case} fires",
        why="The igniter draws on the computer's own battery: a computer that resets forgets that it flew.",
        reasons={"drawn": "It draws for {soonest} to {latest}, until it has taken about {energy}."},
        fixes={
            "own-battery": "Enter least_voltage of {name} from its data sheet. A battery for firing alone, or"
            " one of less inner resistance, would leave it more."
        },
    ),
    "switch-at-rest": Wording(
        title="switches that stay closed with nothing in them",
        why="A pin or magnet that must stay in may shake out under thrust: the computer then sleeps.",
        limits={"": "contacts that close once pin or magnet has come away"},
        fixes={
            "turn-round": "Of {name} say how often it slips, with fails_open as counted; or take one that"
            ' closes as its pin is drawn, rest = "closed", or put a second beside it.'
        },
    ),
    "wired-in": Wording(
        title="switches, batteries and ports in some path",
        why="What no computer names was meant for one: who arms by that switch arms nothing, and holes that"
        " nobody reads were not looked at.",
        limits={"": "each named by a computer"},
        fixes={"wire": "Name {idle} under a [[electronics.computer]], or take it out of the sheet."},
    ),
    "arming-switches": Wording(
        title="arming switches",
        why="Without a switch a computer is live once its battery is plugged in, with people beside it.",
        limits={"": "each computer behind its own switch"},
        fixes={"give-switch": "Give {computers} a switch that is closed on the pad, with the rail upright."},
    ),
    "continuity-current": Wording(
        title="continuity current of {name}",
        why="A check that passes too much current fires the charge, with people beside it.",
        limits={"": "{share} % of the no-fire current"},
        fixes={
            "enter-no-fire": "Enter no_fire of {name}, as its data sheet says.",
            "enter-continuity": "Enter continuity_current of {computer}, as its data sheet says.",
            "less-current": "The igniter bears less than the computer checks it with.",
        },
    ),
    "batteries-warm": Wording(
        title="batteries after the wait in the sun",
        why="A lithium cell that gets too hot swells, fails or burns, beside the charges.",
        limits={"none": "no battery in the sheet"},
        fixes={
            "shade": "A white body, or shade until the countdown, keeps {batteries} cooler; a"
            " thermometer beside them tells. The colour of the body is colour under"
            " [vehicle]."
        },
    ),
    "igniter-currents": Wording(
        title="no-fire current of {name} below its all-fire current",
        why="What fires none of them cannot be more than what fires all: one of the two is wrong.",
        limits={"both": "both currents from its data sheet"},
        fixes={
            "look": "Look at no_fire and all_fire of {name} again, each with its unit.",
            "enter-no-fire": "Enter no_fire of {name}, as its data sheet says.",
            "enter-all-fire": "Enter all_fire of {name} from its data sheet.",
        },
    ),
    "charge-fired": Wording(
        title="{name} is fired at its event",
        why="A charge without an igniter, or with one set to another event, leaves the canopy in its bay.",
        limits={"": "an igniter with the charge's own event"},
        fixes={
            "enter": "Enter an igniter under [[electronics.igniter]] that fires {name}.",
            "set-event": "Set the event of {igniters} to that of {name}.",
        },
    ),
    "backup-independent": Wording(
        title="{name} hangs on parts of its own",
        why="A backup that shares a part with {first} fails together with it.",
        limits={"": "its own computer, battery, switch and plugs"},
        fixes={"own-parts": "Give it its own: {shared} fires both."},
    ),
}
