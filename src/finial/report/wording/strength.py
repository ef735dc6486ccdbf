"""Walls, rods, joints, fins and heat."""

from collections.abc import Iterator

from finial.report.wording.form import ALSO, Wording
from finial.structure.fins.root import HoldKind
from finial.structure.loads.case import Case, Half, Load
from finial.structure.reserves import Because, FailureMode

PLACES = {"sun": "on the pad in the sun", "car": "in a closed car in the sun", "motor": "at the motor's tube"}
"""Where a part gets warm, in words."""
CASES = {
    Load.MAX_THRUST.value: "max thrust",
    Load.MAX_SPEED.value: "max speed with a gust",
    Load.RAIL_WIND.value: "on the rail in the wind",
    Load.THRUST_STOPS.value: "thrust stops, body springs back",
    Load.CORD_PULLS.value: "{of} pulls the {half}",
    Load.CORD_PULLS_LATE.value: "{of} pulls the {half}, off its time",
    Load.CHARGE_PUSHES.value: "charge of {of} pushes the {half}",
    Load.CANOPY_OPENS.value: "{of} opens, pulls the {half}",
    Load.LANDING.value: "{half} lands on an edge",
    Load.LIFTING.value: "lifted at one end",
    Load.CHARGE_FIRES.value: "charges of {of} fire",
    Load.WHOLE_FLIGHT.value: "whole flight",
    Load.PRINTING.value: "as printed",
    "every-case": "every case",
    **PLACES,
}
"""What loads, and where it is warm, in words."""
HALVES = {"": "vehicle", Half.FORE.value: "fore half", Half.AFT.value: "aft half"}


def case_words(case: Case | None) -> str:
    """Say a load case; none is every case.

    Examples
    --------
    >>> case_words(Case(load=Load.CORD_PULLS, subject="shock cord", half=Half.AFT))
    'shock cord pulls the aft half'
    """
    if case is None:
        return CASES["every-case"]
    return CASES[case.load.value].format(of=case.subject, half=HALVES[case.half.value if case.half else ""])


GIVES = {
    FailureMode.WALL_CRUSHED: "wall of {name} crushed",
    FailureMode.WALL_WRINKLES: "wall of {name} wrinkles",
    FailureMode.WALL_COLLAPSES: "wall of {name} collapses after wrinkling",
    FailureMode.WALL_PULLED: "wall of {name} pulled apart across layers",
    FailureMode.WALL_SHEARED: "wall of {name} sheared along its layers",
    FailureMode.WALL_PRESSED: "flat wall of {name} bends under the air",
    FailureMode.JOINT_OPENS: "joint behind {name} opens",
    FailureMode.JOINT_UNHELD: "joint behind {name} that nothing holds",
    FailureMode.ROD_PULLED: "rods pulled",
    FailureMode.ROD_BUCKLES: "rods buckle",
    FailureMode.ROD_STRIPS: "thread of {name} rods strips in their nuts",
    FailureMode.ROD_LOOSE: "{name} rods with play",
    FailureMode.ROD_ENDS_NOWHERE: "end of the {name} rods where there is no part",
    FailureMode.ROD_END_UNSAID: "end of the {name} rods, what it presses on",
    FailureMode.WASHER_SINKS: "washers of {name} rods sink in",
    FailureMode.NUT_SINKS: "nuts of {name} rods, without washers, sink in",
    FailureMode.NUT_PULLS_THROUGH: "nuts of {name} rods pull through their plate",
    FailureMode.DOWELS_SHEAR: "dowels behind {name} shear",
    FailureMode.THRUST_UNSAID: "what takes the thrust",
    FailureMode.THRUST_PLATE_BREAKS: "thrust plate breaks",
    FailureMode.MOTOR_TUBE_LETS_GO: "glue of the motor tube shears",
    FailureMode.MOTOR_LEAVES: "motor stays in",
    FailureMode.BAY_BURSTS: "wall of {name} under its charges",
    FailureMode.PLATE_BREAKS: "{name} bends until it breaks",
    FailureMode.PLATE_LETS_GO: "rim of {name} lets go",
    FailureMode.EYE_UNSAID: "what {name} is tied to",
    FailureMode.EYE_BREAKS: "eye in {name} gives at its thread",
    FailureMode.EYE_SINKS: "washer of the eye sinks into {name}",
    FailureMode.EYE_PULLS_THROUGH: "eye pulls through {name}",
    FailureMode.FIN_BREAKS: "{name} break",
    FailureMode.FIN_FLUTTERS: "{name} flutter, by the screen",
    FailureMode.FIN_FLUTTERS_BY_MODES: "{name} flutter, by modes",
    FailureMode.FIN_ROOT_LETS_GO: "root glue of {name} lets go",
    FailureMode.STAY_SLACKENS: "stay {stay} of {name} goes slack",
    FailureMode.STAY_BREAKS: "stay {stay} of {name} breaks",
    FailureMode.STAY_BOWS_FIN: "pull of stay {stay} bows {name} out",
    FailureMode.STAY_ANCHOR_LETS_GO: "anchor of stay {stay} of {name} lets go",
    FailureMode.STAY_CROSSES_BODY: "stay {stay} of {name} passes through the body",
    FailureMode.PRINT_TOO_THIN: "{name} thinner than the nozzle lays down",
}
"""What gives way, for every way to fail."""

_CHANGE = {
    FailureMode.WALL_CRUSHED: "It takes walls {times} times as thick.",
    FailureMode.WALL_WRINKLES: "It takes walls {times} times as thick, or less that squeezes them.",
    FailureMode.WALL_COLLAPSES: "It takes walls {times} times as thick.",
    FailureMode.WALL_PULLED: "It takes walls {times} times as thick; printed lying down, its layers would not"
    " be pulled apart.",
    FailureMode.WALL_SHEARED: "It takes walls {times} times as thick.",
    FailureMode.WALL_PRESSED: "It takes walls {times} times as thick.",
    FailureMode.JOINT_OPENS: "It takes {times} times the preload, or glue.",
    FailureMode.ROD_PULLED: "It takes rods of {times} times the section in all.",
    FailureMode.ROD_BUCKLES: "It takes {times} times as many places that steady the rods.",
    FailureMode.ROD_STRIPS: "It takes a nut {times} times as high.",
    FailureMode.WASHER_SINKS: "It takes a washer {times} times as wide.",
    FailureMode.NUT_SINKS: "No washer spreads what the nut presses.",
    FailureMode.NUT_PULLS_THROUGH: "It takes {times} times the thickness under the nuts, or the width of"
    " their washers.",
    FailureMode.DOWELS_SHEAR: "It takes {times} times as many dowels.",
    FailureMode.THRUST_PLATE_BREAKS: "It takes a thrust plate {times} times as thick.",
    FailureMode.MOTOR_TUBE_LETS_GO: "It takes a glued joint {times} times as long.",
    FailureMode.MOTOR_LEAVES: "It takes {times} times as many screws.",
    FailureMode.BAY_BURSTS: "A round tube in the bay would take the pressure that these walls must not.",
    FailureMode.PLATE_BREAKS: "It takes {name} {times} times as thick.",
    FailureMode.PLATE_LETS_GO: "It takes {name} {times} times as thick, so that more of its rim is glued.",
    FailureMode.EYE_BREAKS: "It takes an eye of {times} times the section.",
    FailureMode.EYE_SINKS: "It takes a washer {times} times as wide under the eye.",
    FailureMode.EYE_PULLS_THROUGH: "It takes {name} {times} times as thick.",
    FailureMode.FIN_BREAKS: "It takes fins {times} times as thick.",
    FailureMode.FIN_FLUTTERS: "It takes fins {times} times as thick, or as much stiffer.",
    FailureMode.FIN_FLUTTERS_BY_MODES: "It takes fins {times} times as thick, or as much stiffer.",
    FailureMode.FIN_ROOT_LETS_GO: "It takes a root held {times} times as deep.",
    FailureMode.STAY_SLACKENS: "It takes {times} times the preload.",
    FailureMode.STAY_BREAKS: "It takes wire {times} times as thick.",
    FailureMode.STAY_BOWS_FIN: "The wires pull it inward more than it bears.",
    FailureMode.STAY_ANCHOR_LETS_GO: "The anchor holds less than the wire pulls.",
    FailureMode.STAY_CROSSES_BODY: "The wire is clear only where anchor and fin see one another past the"
    " body.",
    FailureMode.PRINT_TOO_THIN: "A printed wall is whole lines thick: two widths of the nozzle at least.",
}
_ENTER = {
    FailureMode.WALL_PULLED: 'Break bars of {name} printed upright and enter across = "..." under'
    " [[material]].",
    FailureMode.JOINT_UNHELD: "Say glued = true on {name}, give dowels, or run rods through.",
    FailureMode.ROD_LOOSE: "Tighten them and enter the preload; until then the walls are judged alone.",
    FailureMode.ROD_ENDS_NOWHERE: "End them at a part or plate.",
    FailureMode.ROD_END_UNSAID: 'Enter bears_on = {{ thickness = "...", material = "..." }} and washer under'
    " [[rod]].",
    FailureMode.THRUST_UNSAID: "Enter thrust_plate or tube under [motor].",
    FailureMode.MOTOR_LEAVES: "Enter retainer under [motor].",
    FailureMode.BAY_BURSTS: "Enter wall and material of {name}.",
    FailureMode.PLATE_BREAKS: "Enter length, its thickness, across and material of {name} under [[item]].",
    FailureMode.PLATE_LETS_GO: 'Enter glue of {name} under [[item]], or pull it and enter holds = "...".',
    FailureMode.EYE_UNSAID: 'Enter eye = {{ thread = "...", washer = "..." }} under the [[item]] that each'
    " end of the cord is tied to, and tied_to under [[recovery.cord]] where that does not close its bay.",
    FailureMode.FIN_FLUTTERS: "Look for long: finial strength works stays and fins out with plate elements.",
    FailureMode.STAY_ANCHOR_LETS_GO: 'Pull one anchor until it lets go and enter anchor_holds = "..." on'
    " the stay.",
}
_LAYOUT = {
    FailureMode.JOINT_OPENS: "Nothing of the preload may be left in the cold or after creep in the sun.",
}
_WHY = {
    FailureMode.EYE_UNSAID: "No eye is told there, amid a plate, that takes the pull of the cord.",
    FailureMode.THRUST_UNSAID: "What carries the thrust into the body is not said.",
    FailureMode.ROD_END_UNSAID: "What nuts and washers press on is not said.",
    FailureMode.STAY_CROSSES_BODY: "Its straight run crosses the skin.",
}
_BECAUSE = {
    Because.NOTHING_HOLDS: "The parts only touch.",
    Because.LAYERS_UNKNOWN: "Nobody knows its strength across the layers.",
    Because.PRINT_UNSAID: "How it is printed is not said: its walls could be anything.",
    Because.FLAT_BAY: "A flat wall bends under pressure; a round tube would take it.",
    Because.BAY_SWELLS: "It swells by a twentieth long before it bursts: joint and pins let go.",
    Because.BAY_UNSAID: "What the bay's wall is made of is not said.",
    Because.SCREEN_ONLY: "A screen from 1958: its two readings of thickness to chord differ by half.",
    Because.STAYS_UNSEEN: "The screen knows no stays.",
    Because.MATERIAL_UNSAID: "What they are made of cannot be told from the sheet.",
    Because.SWINGS: "It swings at {hz} Hz.",
    Because.TWISTS_AWAY: "It twists away without swinging.",
    Because.NO_GROWTH: "No swing grows up to Mach 0.9.",
    Because.ALL_ALIKE: "When all fins swing the same way round, wires between them hold nothing: tie them to"
    " the body.",
    Because.PLAY: "Rods that are not tightened take nothing until their play is used up.",
    Because.NO_PART_THERE: "Nothing of the sheet stands there for nuts to press on.",
    Because.SHIFTS: "It moves by {shift} in the gust; a slack wire lends no stiffness and jerks when it comes"
    " taut.",
    Because.ANCHOR_UNSAID: "What an anchor in the body holds is not known.",
    Because.RETAINER_UNSAID: "What keeps the motor in is not said.",
    Because.RETAINER_SOFTENS: "Its screws soften beside the hot end of a motor.",
    Because.SAGS: "It sags by up to {sag}; its rim counts as held loosely to stiffly.",
    Because.PLATE_UNSAID: "How thick it is, how wide, or what it is made of is not said.",
    Because.RIM_UNSAID: "What holds its rim is not said.",
    Because.TIE_UNSAID: "No plate of the sheet closes the bay there.",
    Because.NOZZLE: "Slicers leave such walls out: the part is weaker than it looks. The nozzle is {nozzle}.",
}
_REASONS = {
    **{reason.value: sentence for reason, sentence in _BECAUSE.items()},
    "loaded": "Loaded to {load}, holds {strength}.",
    "load-known": "Loaded to {load}.",
    "carries-on": "A flat wall that wrinkles goes on carrying; it collapses above the limit.",
    "late": "Off its time the cord stops the halves from a faster fall; how late is a guess.",
    "on-the-ground": "It ends no flight, and how the ground gives is a guess.",
}

_MODES_OF = {
    Because.NOTHING_HOLDS: (FailureMode.JOINT_UNHELD,),
    Because.LAYERS_UNKNOWN: (FailureMode.WALL_PULLED, FailureMode.PLATE_BREAKS),
    Because.PRINT_UNSAID: (FailureMode.WALL_PULLED,),
    Because.FLAT_BAY: (FailureMode.BAY_BURSTS,),
    Because.BAY_SWELLS: (FailureMode.BAY_BURSTS,),
    Because.BAY_UNSAID: (FailureMode.BAY_BURSTS,),
    Because.SCREEN_ONLY: (FailureMode.FIN_FLUTTERS,),
    Because.STAYS_UNSEEN: (FailureMode.FIN_FLUTTERS,),
    Because.MATERIAL_UNSAID: (FailureMode.FIN_BREAKS, FailureMode.FIN_FLUTTERS),
    Because.SWINGS: (FailureMode.FIN_FLUTTERS_BY_MODES,),
    Because.TWISTS_AWAY: (FailureMode.FIN_FLUTTERS_BY_MODES,),
    Because.NO_GROWTH: (FailureMode.FIN_FLUTTERS_BY_MODES,),
    Because.ALL_ALIKE: (FailureMode.FIN_FLUTTERS_BY_MODES,),
    Because.PLAY: (FailureMode.ROD_LOOSE,),
    Because.NO_PART_THERE: (FailureMode.ROD_ENDS_NOWHERE,),
    Because.SHIFTS: (FailureMode.STAY_SLACKENS,),
    Because.ANCHOR_UNSAID: (FailureMode.STAY_ANCHOR_LETS_GO,),
    Because.RETAINER_UNSAID: (FailureMode.MOTOR_LEAVES,),
    Because.RETAINER_SOFTENS: (FailureMode.MOTOR_LEAVES,),
    Because.SAGS: (FailureMode.PLATE_BREAKS,),
    Because.PLATE_UNSAID: (FailureMode.PLATE_BREAKS,),
    Because.RIM_UNSAID: (FailureMode.PLATE_LETS_GO,),
    Because.TIE_UNSAID: (FailureMode.EYE_UNSAID,),
    Because.NOZZLE: (FailureMode.PRINT_TOO_THIN,),
}
"""What each reason is a reason of."""


_MEASURE_FIRST = (
    "As computed it holds, at the bad end nothing is left: what is assumed there is to be measured first, by"
    " own test bars under [[material]] and by preload set on the day."
)
_TOO_MUCH = "At the bad end no larger size of the same is enough; another layout, plastic or load may be."


def _reserve(mode: FailureMode) -> Wording:
    change = {"change": _CHANGE[mode]} if mode in _CHANGE else {}
    enter = {"enter": _ENTER.get(mode, "What loads or holds it is not known: see what is told of {name}.")}
    material = {"say-material": "Say what the part that {name} are drawn in is made of, with its print."}
    more = {
        "say-print": 'Enter print = {{ wall = "...", infill = "...", layers_along = "..." }} under {name}.',
        "too-much": _TOO_MUCH,
        "layout": _LAYOUT.get(mode, "At the bad end nothing is left: it cannot work as drawn."),
        "measure-first": _LAYOUT.get(mode, _MEASURE_FIRST),
    }
    fixes = {**change, **enter, **material, **more}
    return Wording(
        title=f"{GIVES[mode]}, {{case}}",
        why=_WHY.get(mode, ""),
        reasons=_REASONS,
        fixes=fixes,
        elsewhere=frozenset(_elsewhere(mode)),
    )


def _elsewhere(mode: FailureMode) -> Iterator[str]:
    """Reasons and fixes that are never those of this way to fail."""
    yield from (reason.value for reason, modes in _MODES_OF.items() if mode not in modes)
    if mode is not FailureMode.WALL_WRINKLES:
        yield "carries-on"
    if mode not in _MODES_OF[Because.MATERIAL_UNSAID]:
        yield "say-material"
    if mode not in _MODES_OF[Because.PRINT_UNSAID]:
        yield "say-print"
    if mode not in _ENTER:
        yield "enter"
    if mode not in _CHANGE:
        yield from ("too-much", "layout", "measure-first")


_MORE_THAN_ONE = {
    **_REASONS,
    **{mode.value: f"Worst: {gives}." for mode, gives in GIVES.items()},
    **{
        f"{ALSO}{mode.value}": gives.replace("{name}", f"{{of-{mode.value}}}")
        for mode, gives in GIVES.items()
    },
}
_ANY_CHANGE = {
    "look": "The table of reserves shows each way to fail with what it holds.",
    "thicker": "It takes {thing} {times} times as thick.",
    "too-much": _TOO_MUCH,
    "layout": "At the bad end nothing is left: it cannot work as drawn.",
    "measure-first": _MEASURE_FIRST,
}
WORDS = {
    **{mode.value: _reserve(mode) for mode in FailureMode},
    "holds-when-warm": Wording(
        title="{name} as warm as it gets, {case}",
        why="Warmth leaves {left} % of the strength it has in a cool room, where this reserve would be"
        " {cool}.",
        reasons=_MORE_THAN_ONE,
        fixes={
            **dict.fromkeys(
                ("change", "too-much", "layout", "measure-first"),
                "What it lacks, warmth takes: it would hold in a cool room.",
            ),
            "thicker": _ANY_CHANGE["thicker"],
        },
    ),
    "holds-off-time": Wording(
        title="what a cord off its time leaves, {case}",
        reasons=_MORE_THAN_ONE,
        fixes=_ANY_CHANGE,
    ),
    "holds-on-the-ground": Wording(
        title="landing and handling, {case}",
        reasons=_MORE_THAN_ONE,
        fixes=_ANY_CHANGE,
    ),
    "soft-in-the-sun": Wording(
        title="{name} in the sun, left to softening",
        why="Skin at about {warm}, softening at {softens}; printed parts sag before that.",
        limits={"": "at least 0, which is {below} below softening"},
        fixes={
            "cooler": "A light colour, or shade until the countdown, keeps it cooler.",
            "white": "White paint keeps it about {cooler} cooler.",
            "sun-plastic": "In the shade it stays cooler; printed in {plastic}, {name} stays hard.",
        },
    ),
    "nothing-softens": Wording(
        title="the outside in the sun",
        why="Nothing of the outside is of a plastic that softens.",
        limits={"": "no plastic that softens"},
    ),
    "brittle-in-the-cold": Wording(
        title="air about {name}, for a plastic that cold makes brittle",
        why="Every strength here is that of a warm room. In the cold a print or a plate that is stopped by"
        " its cord, or lands hard, may shatter at less; how much less is not known.",
        fixes={
            "warmer": "A plastic that stays tough in the cold, with bars of it broken as cold,"
            " would answer it; so would a warmer day."
        },
    ),
    "printed-stuff": Wording(
        title="what is printed of",
        why="Wall, infill and layers are of prints: of wood, sheet or metal nobody knows what they mean.",
        limits={"": "a printed plastic wherever the sheet says how it is printed"},
        fixes={"mend": "Mend the material of {parts}, or take print out and weigh it."},
    ),
    "nothing-brittle": Wording(
        title="prints in the cold",
        why="No part is of a plastic that cold makes brittle.",
        limits={"": "no plastic that cold makes brittle"},
    ),
    "sheds-in-step": Wording(
        title="{case} of {name} shaken by vortices, strength over load",
        why="The {source} of {height} at {station} sheds vortices as often as the {case} swings, {hertz} Hz,"
        " when it flies at {speed}. What they push then is known to a factor of two either way.",
        fixes={
            "out-of-step": "Rounding or breaking the edge of the {source} at {station} is the usual cure;"
            " nothing here works out an edge that is not drawn so, and it was not tried."
        },
    ),
    "nothing-sheds-in-step": Wording(
        title="fins and walls shaken by vortices",
        why="No fin or wall swings as often as a ledge or leg ahead of it sheds at any speed flown.",
        limits={"": "no fin or wall in step with a ledge or leg at any speed flown"},
    ),
    "stays-would-help": Wording(
        title="stays for {name}",
        why="With steel wire of {thick} from {along} along and {outward} outward on {name} to the body on"
        " both sides, tightened to {tension} and anchored to {backing} of {behind} behind the wall:",
        limits={"": "flutter above the wanted speed"},
        reasons={
            "reached": "{reached}, {wanted} wanted.",
            "no-flutter": "no flutter below Mach 0.9, {wanted} wanted.",
        },
        fixes={
            "try": "By plate elements these would do, as [[fin]] stays: steel wire of"
            " {thick} from {along} along and {outward} outward on {name} to the body"
            " on both sides, tightened to {tension}, with backing = {{ thickness ="
            ' "{backing}", material = "{behind}" }}.',
            "not-enough": "Stays alone do not reach it.",
        },
    ),
    "warm-part": Wording(
        title="{name} {case}, left to softening",
        why="At about {warm}, softening at {softens}; printed parts sag before they soften.",
        limits={"": "{below} below softening at least"},
        fixes={
            "car": "In the shade with the windows open a car is cooler.",
            "car-plastic": "In the shade with the windows open a car is cooler; printed in"
            " {plastic}, {name} stays hard.",
            "motor-plastic": "An air gap or a card tube round the motor keeps it cooler, and so does"
            " taking the motor out soon after landing; printed in {plastic}, {name}"
            " stays hard.",
            "motor": "An air gap or a card tube round the motor keeps it cooler, and so does"
            " taking the motor out soon after landing.",
        },
    ),
    "own-numbers": Wording(
        title="own numbers of {name}",
        why="Own numbers go before every table: one that is too good hides all that would fail.",
        limits={"": "at most twice those of {like}, near its density and softening, across below along"},
        fixes={"look": "Look at {keys} of {name} under [[material]]: another unit, or another plastic?"},
    ),
    "glue-sticks": Wording(
        title="glue of {name}",
        why="A glue's strength is that of a joint which it wets and which is not struck: elsewhere it peels.",
        limits={
            "": "a glue that holds {on}, and stands a blow where a charge or a cord strikes",
            "all": "glues that hold what they join",
        },
        fixes={
            "sticks": "{glue} is not told for {on}.",
            "stands": "{glue} is brittle: a charge or a landing strikes this joint.",
        },
    ),
    "test-bars": Wording(
        title="test bars of {name}",
        why="A few bars say little of the weakest: prints scatter from bar to bar.",
        limits={"": "at least {fewest}"},
        fixes={"break-more": "Break {fewest} in each direction, and enter how many as bars of {name}."},
    ),
}
HOLDS = {
    HoldKind.STIFF: "held stiffly",
    HoldKind.UNSAID: "taken as held stiffly: the sheet does not say how",
    HoldKind.WALL: "glued onto the wall with fillets",
    HoldKind.DRAWN: "in one piece with the wall, as its mesh has it",
    HoldKind.SLOT: "slot {deep} deep",
    HoldKind.TAB: "tab through the wall, held again {deep} deeper",
    HoldKind.BOLTS: "bolts with {deep} washers",
}
"""How a root is held, in words."""
