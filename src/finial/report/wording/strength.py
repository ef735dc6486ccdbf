"""Walls, rods, joints, fins and heat."""

from finial.report.wording.form import Wording

WORDS = {
    "reserve": Wording(
        title="reserve: {name}, {case}",
        why="{load}. {note}",
        reasons={"carries-on": "A flat wall that wrinkles goes on carrying; it collapses above the limit."},
        fixes={"enter-missing": "Enter what is missing. {note}", "as-told": "{told}"},
    ),
    "soft-in-the-sun": Wording(
        title="{name} in the sun, kelvin left",
        why="Skin at about {surface}, softening at {softens}; printed parts sag before that.",
        limits={"": "at least 0, which is 10 K below softening"},
        fixes={"cooler": "A plastic that softens later, a light colour, or shade until the countdown."},
    ),
    "stays-would-help": Wording(
        title="stays for {name}",
        why="With steel wire of {thick} from {along} along and {outward} outward on {name} to the body on"
        " both sides, tightened to {tension}:",
        limits={"": "flutter above the wanted speed"},
        reasons={
            "reached": "{reached}, {wanted} wanted.",
            "no-flutter": "no flutter below Mach 0.9, {wanted} wanted.",
        },
        fixes={
            "try": "Try [[fin]] stays: steel wire of {thick} from {along} along and {outward} outward on"
            " {name} to the body on both sides, tightened to {tension}.",
            "not-enough": "Stays alone do not reach it: a thicker fin.",
        },
    ),
    "warm-part": Wording(
        title="{name} {case}, kelvin left",
        why="At about {warm}; printed parts sag before they soften.",
        limits={"": "10 K below softening at least"},
        fixes={"advice": "{advice}"},
    ),
    "test-bars": Wording(
        title="test bars of {name}",
        why="A few bars say little of the weakest: prints scatter from bar to bar.",
        limits={"": "at least {fewest}"},
        fixes={"break-more": "Break {fewest} in each direction, and enter how many as bars of {name}."},
    ),
}
