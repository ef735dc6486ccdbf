"""The recovery followed in time."""

from finial.report.wording.form import GROUND_TEST, Wording

WORDS = {
    "pack-exit": Wording(
        title="pack leaves {name}, {case}",
        why="Friction of the squeezed pack, assumed, holds it with {held}.",
        fixes={
            "say-behind": "Say behind_pack = true if the charge does lie behind the pack, false if not.",
            "push-out": "Push the pack out with a scale and write down the force.",
        },
    ),
    "charge-parts-joint": Wording(
        title="{name} parts the joint, followed in time",
        why=f"Slow burning, cold walls and a bay that swells all take from the charge. {GROUND_TEST}",
        limits={"": "parts even at the weak end"},
        fixes={"more-push": f"The charge, the pins and the shoulder decide it. {GROUND_TEST}"},
    ),
    "joint-force": Wording(
        title="force on the joint of {name} under all its charges at once",
        why="Bulkheads, eye bolts and glue see this force before the cord does.",
        fixes={
            "smaller": "It takes charges that together have {share} % of this powder, or a"
            " backup that cannot burn at the same time."
        },
    ),
    "cord-in-time": Wording(
        title="{name} through separation and opening, followed in time",
        why="A cord that breaks drops one half without a canopy.",
        fixes={"stronger-cord": "It takes a cord that still holds {held} at its knots."},
    ),
    "lip-holds": Wording(
        title="{name} does not cut the tube, {case}",
        why="A cord pulled round the lip of an open tube slits it. The number is strength over pull.",
        limits={"": "above 1 at the low end, with a pull test", "wall": "the lip's wall and material"},
        fixes={
            "enter": "Enter wall and material of the bay, or of its lip.",
            "pull-test": "Pull a cord over a lip of the same print and enter it as pull_test.",
            "on-time": "Of all that was tried, most helps an event within a second of its time,"
            " by two computers, ports that follow, no lock-out.",
            "longer-cord": "Of all that was tried, most helps a cord twice as long, {size}.",
            "softer-cord": "Of all that was tried, most helps a softer cord of the same strength,"
            " {share} % at break.",
            "less-charge": "Of all that was tried, most helps a charge that parts at {share} % of the speed.",
            "drogue": "Of all that was tried, most helps a drogue at this event, the main later"
            " in its own bay.",
            "slider": "Of all that was tried, most helps a slider on {canopy}.",
            "ring": "Of all that was tried, most helps a ring of {size} aluminium in the"
            " mouth, its edge well rounded.",
            "wide-webbing": "Of all that was tried, most helps webbing {size} wide where it bears.",
        },
    ),
    "sides-keep-apart": Wording(
        title="the sides on {name} keep apart",
        why="Pieces that fly back strike fins and shells.",
        reasons={"meet": "They touch {time} after the charge, with the event {late} late, in the {case}."},
        limits={"": "no meeting after the cord is taut"},
        fixes={"longer-cord": "The cord's length, what it gives back and the charge decide it."},
    ),
}
CASES = {
    "on-time": "on time",
    "early-or-late": "3 s early to 5 s late",
    "pulled-out": "pulled by the cord",
    "pushed-out": "pushed by a charge behind it",
    "day": "wind of the day",
    "windy": "strongest wind entered",
    "calm": "weakest wind entered",
    "whole": "the whole",
    "heaviest-piece": "its heaviest piece",
}
"""Cases of the recovery in words."""
