"""Walls, rods, joints, fins and heat."""

from finial.report.wording.form import Wording
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
    FailureMode.ROD_STRIPS: "thread of a {name} rod strips in its nut",
    FailureMode.ROD_LOOSE: "{name} rods with play",
    FailureMode.ROD_ENDS_NOWHERE: "end of the {name} rods where there is no part",
    FailureMode.ROD_END_UNSAID: "end of the {name} rods, what it presses on",
    FailureMode.WASHER_SINKS: "washer of a {name} rod sinks in",
    FailureMode.NUT_SINKS: "nut of a {name} rod, without washer, sinks in",
    FailureMode.NUT_PULLS_THROUGH: "nut of a {name} rod pulls through its plate",
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
    FailureMode.WALL_CRUSHED: "Walls {times} times as thick, or more rods.",
    FailureMode.WALL_WRINKLES: "Walls {times} times as thick, a rib amid each flat, or less preload if that"
    " squeezes most.",
    FailureMode.WALL_COLLAPSES: "Walls {times} times as thick, or a rib along the middle of each flat.",
    FailureMode.WALL_PULLED: "Rods through and tightened, walls {times} times as thick, or print it lying"
    " down.",
    FailureMode.WALL_SHEARED: "Walls {times} times as thick, or print it lying down.",
    FailureMode.WALL_PRESSED: "Walls {times} times as thick, or a rib along the middle of each flat.",
    FailureMode.JOINT_OPENS: "Preload {times} times as high, set on the day, or glue the joint.",
    FailureMode.ROD_PULLED: "Rods of {times} times the section in all: one size up, or more of them.",
    FailureMode.ROD_BUCKLES: "Support the rods at {times} times as many places.",
    FailureMode.ROD_STRIPS: "A nut {times} times as high: a long nut or two.",
    FailureMode.WASHER_SINKS: "A washer {times} times as wide.",
    FailureMode.NUT_SINKS: "A wide washer under each nut.",
    FailureMode.NUT_PULLS_THROUGH: "A plate {times} times as thick under the nuts, or a wider washer.",
    FailureMode.DOWELS_SHEAR: "{times} times as many dowels, or thicker ones.",
    FailureMode.THRUST_PLATE_BREAKS: "A thrust plate {times} times as thick, or one of metal or G10.",
    FailureMode.MOTOR_TUBE_LETS_GO: "A glued joint {times} times as long, roughened and wiped.",
    FailureMode.MOTOR_LEAVES: "{times} times as many screws, or a screwed ring.",
    FailureMode.BAY_BURSTS: "Line the bay with a round tube that takes the pressure; flat printed walls"
    " must not.",
    FailureMode.PLATE_BREAKS: "{name} {times} times as thick, or of a stronger stuff: plywood, G10, metal.",
    FailureMode.PLATE_LETS_GO: "{name} {times} times as thick, so that more of its rim is glued; or bolts or"
    " a ledge that take it, with holds by test.",
    FailureMode.EYE_BREAKS: "An eye of {times} times the section: one size up, or a U-bolt.",
    FailureMode.EYE_SINKS: "A washer {times} times as wide under the eye.",
    FailureMode.EYE_PULLS_THROUGH: "{name} {times} times as thick, or a wider washer under the eye.",
    FailureMode.FIN_BREAKS: "Fins {times} times as thick, or a shorter span.",
    FailureMode.FIN_FLUTTERS: "Stays to the body, or fins {times} times as thick; a stiffer sheet helps as"
    " much.",
    FailureMode.FIN_FLUTTERS_BY_MODES: "Stays to the body, or fins {times} times as thick; a stiffer sheet"
    " helps as much.",
    FailureMode.FIN_ROOT_LETS_GO: "Fillets or a slot {times} times as deep, roughened and wiped.",
    FailureMode.STAY_SLACKENS: "Preload {times} times as high, or a thicker wire tied nearer the tip.",
    FailureMode.STAY_BREAKS: "Wire {times} times as thick, or swaged ends.",
    FailureMode.STAY_BOWS_FIN: "Less preload, or anchors nearer abreast of the fin's tip.",
    FailureMode.STAY_ANCHOR_LETS_GO: "A plate behind the wall under each anchor.",
    FailureMode.STAY_CROSSES_BODY: "Move the anchor or the point on the fin until the wire is clear.",
    FailureMode.PRINT_TOO_THIN: "A wall of whole lines: at least two nozzle widths.",
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
    FailureMode.JOINT_OPENS: "Nothing of the preload may be left in the cold or after creep in the sun:"
    " more of it, set on the day, spring washers under the nuts, or glue the joint.",
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


_MEASURE_FIRST = (
    "As computed it holds, at the bad end nothing is left: what is assumed there is to be measured first, by"
    " own test bars under [[material]] and by preload set on the day."
)


def _reserve(mode: FailureMode) -> Wording:
    change = {"change": _CHANGE[mode]} if mode in _CHANGE else {}
    enter = {"enter": _ENTER[mode]} if mode in _ENTER else {}
    material = {"say-material": "Say what the part that {name} are drawn in is made of, with its print."}
    more = {
        "say-print": 'Enter print = {{ wall = "...", infill = "...", layers_along = "..." }} under {name}.',
        "too-much": "{times} times as much would be needed: another layout, a stronger plastic, or less"
        " heat.",
        "layout": _LAYOUT.get(mode, "Change the layout: it cannot work as drawn."),
        "measure-first": _LAYOUT.get(mode, _MEASURE_FIRST),
    }
    fixes = {**change, **enter, **material, **more}
    return Wording(title=f"{GIVES[mode]}, {{case}}", why=_WHY.get(mode, ""), reasons=_REASONS, fixes=fixes)


_MORE_THAN_ONE = {
    **_REASONS,
    **{mode.value: f"Worst: {gives}." for mode, gives in GIVES.items()},
    "others": "{others} more ways to fail come of the same.",
}
_ANY_CHANGE = {
    "change": "See the table of reserves: each way to fail has its own remedy.",
    "thicker": "{thing} {times} times as thick.",
    "too-much": "Much more would be needed: another layout, a stronger plastic, or a gentler load.",
    "layout": "Change the layout: it cannot work as drawn.",
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
                _ANY_CHANGE, "A plastic that softens later, a light colour, or shade until the countdown."
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
            "cooler": "A plastic that softens later, a light colour, or shade until the countdown.",
            "white": "White paint keeps it about {cooler} cooler; shade it until the countdown. Or print"
            " it in a plastic that softens later.",
        },
    ),
    "nothing-softens": Wording(
        title="the outside in the sun",
        why="Nothing of the outside is of a plastic that softens.",
        limits={"": "no plastic that softens"},
    ),
    "brittle-in-the-cold": Wording(
        title="air about {name}, for a plastic that cold makes brittle",
        why="Every strength here is that of a warm room. In the cold a print that is stopped by its cord, or"
        " lands hard, may shatter at less; how much less is not known.",
        fixes={
            "warmer": "Wait for a warmer day. Or print it in a plastic that stays tough in the cold, and"
            " break bars of it as cold."
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
        limits={"": "no fin or wall in step with a ledge or leg at any speed flown"},
        fixes={
            "out-of-step": "Round the {source} at {station}, break its edge up all round, or make the {case}"
            " stiffer."
        },
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
            "try": "Try [[fin]] stays: steel wire of {thick} from {along} along and {outward} outward on"
            " {name} to the body on both sides, tightened to {tension}, with backing = {{ thickness ="
            ' "{backing}", material = "{behind}" }}.',
            "not-enough": "Stays alone do not reach it: a thicker fin.",
        },
    ),
    "warm-part": Wording(
        title="{name} {case}, left to softening",
        why="At about {warm}, softening at {softens}; printed parts sag before they soften.",
        limits={"": "{below} below softening at least"},
        fixes={
            "car": "Carry it in the shade with the windows open. Or print it in a plastic that softens"
            " later.",
            "motor": "Leave an air gap or a card tube round the motor; take it out soon after"
            " landing. Or print"
            " it in a plastic that softens later.",
        },
    ),
    "own-numbers": Wording(
        title="own numbers of {name}",
        why="Own numbers go before every table: one that is too good hides all that would fail.",
        limits={"": "at most twice those of {like}, and not far above its softening"},
        fixes={"look": "Look at {keys} of {name} under [[material]]: another unit, or another plastic?"},
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
