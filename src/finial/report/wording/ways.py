"""How the number of each check is found, in a sentence or an equation, and where to read the rest."""

from dataclasses import dataclass, replace
from functools import cache

from finial.report.wording import (
    air,
    electronics,
    fittings,
    flight,
    general,
    inside,
    range_safety,
    recovery,
    recovery_study,
    sensing,
    stability,
    strength,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class HowFound:
    """One way of finding numbers, and the checks whose number it finds."""

    keys: tuple[str, ...]
    told: str
    page: str
    heading: str


_SHEET = HowFound(
    keys=(*general.WORDS,),
    told="What the sheet and its files say is compared with what is usual, complete and possible.",
    page="conventions",
    heading="Estimates and verdicts",
)
_SPECIAL = (
    replace(_SHEET, keys=("own-numbers", "buttons-across-joint", "ports-behind")),
    HowFound(
        keys=("tunnel-study", "tunnel-agrees"),
        told="The flow round the meshes on a lattice, on two grids; the shape is known by its content.",
        page="the-tunnel",
        heading="In the sheet",
    ),
    HowFound(
        keys=("rail-exit-speed", "rail-for-buttons", "tip-off", "buttons-apart", "guide"),
        told="The flight is computed along the rail: m dv/dt = thrust - weight along the rail - drag -"
        " friction. It"
        " guides until its fore button leaves, or its balance point passes the rail's end.",
        page="methods-flight",
        heading="Off the rail, and straight",
    ),
    HowFound(
        keys=("rail-exit-wind", "rail-exit-angle"),
        told="Speed off the rail over the wind at that height; angle = atan(w / v).",
        page="methods-flight",
        heading="Off the rail, and straight",
    ),
    HowFound(
        keys=("thrust-to-weight",),
        told="Thrust over lift-off mass times g, low end of the motor's scatter over the high end of the"
        " mass.",
        page="methods-flight",
        heading="Motor",
    ),
    HowFound(
        keys=("off-axis", "cluster-lights", "cluster-in-step", "steady-angle"),
        told="The angle at which the air's turning moment (moment slope x angle x dynamic pressure) equals"
        " thrust x"
        " arm of the balance point beside the line of thrust.",
        page="methods-flight",
        heading="Off the rail, and straight",
    ),
    HowFound(
        keys=("swing", "spin", "gallop", "lopsided"),
        told="It swings at sqrt(q k / (It - Ix)), q the dynamic pressure and k the moment slope, and with"
        " the damping"
        " of body, fins and jet. Roll is compared with that; flats and points with the angles that they"
        " meet.",
        page="methods-air",
        heading="What an angle to the air may start",
    ),
    HowFound(
        keys=("landing-energy", "landing-energy-in-wind"),
        told="E = m v^2 / 2 of each piece, v the descent speed, with the wind's speed across it.",
        page="methods-recovery",
        heading="Descent and landing",
    ),
    HowFound(
        keys=("landing-speed",),
        told="v = sqrt(2 m g / (rho C_D S)), with the density of the air at the field that day.",
        page="methods-recovery",
        heading="Descent and landing",
    ),
    HowFound(
        keys=(
            "charge-opens",
            "charge-in-time",
            "joint-opener",
            "charge-roles",
            "backup-larger",
            "bay-opener",
            "ground-test",
        ),
        told="p = eta m R T / V above the air trapped in the bay, against what pins, friction and drag ask"
        " for.",
        page="methods-recovery",
        heading="Charges",
    ),
    HowFound(
        keys=("pins-hold", "pins-straight"),
        told="Shear strength of all pins, low end, against drag, trapped air and springback on the joint.",
        page="methods-recovery",
        heading="Pins",
    ),
    HowFound(
        keys=("opening-load",),
        told="F = q C_D S C_x X_1: drag at line stretch, the kind's overshoot, and how far filling slows it.",
        page="methods-recovery",
        heading="Opening load",
    ),
    HowFound(
        keys=("cord-separation", "cord-across-joint", "cord-ends", "cord-mass", "pull-test-cord"),
        told="The energy of the parting halves is taken up by the cord: m v^2 / 2 = area under its pull.",
        page="methods-recovery",
        heading="Cords",
    ),
    HowFound(
        keys=("pack-size", "pack-leaves-bay", "protector", "protector-covers", "waits-for-height"),
        told="Sizes, masses and moments of what is packed, compared.",
        page="methods-recovery",
        heading="Packs",
    ),
    HowFound(
        keys=(*recovery_study.WORDS, "recovery-looked"),
        told="Charge, joint, pack, cord and canopy are followed in time, piece by piece, over all corners.",
        page="methods-recovery",
        heading="Followed in time",
    ),
    HowFound(
        keys=("switch-odds", "single-points", "canopies-fired", "charge-fired", "backup-independent"),
        told="Every way that the parts of the firing paths may fail is enumerated: exact odds and smallest"
        " sets.",
        page="methods-recovery",
        heading="What breaks alone",
    ),
    HowFound(
        keys=("wall-pressed",),
        told="Bending of a plate of finite length under even pressure, on infill where there is some.",
        page="methods-structure",
        heading="Walls as long as they are high, on infill, or hollow",
    ),
    HowFound(
        keys=(
            "rod-strips",
            "rod-buckles",
            "thrust-plate-breaks",
            "plate-breaks",
            "plate-lets-go",
            "eye-breaks",
        ),
        told="Thread area in shear, a column's critical force, or a round plate's bending, strength over"
        " load.",
        page="methods-structure",
        heading="Threads, columns, plates",
    ),
    HowFound(
        keys=("rod-loose", "joint-opens"),
        told="Preload, less play, creep and a day's warmth, against bending and pull at the joint.",
        page="methods-structure",
        heading="Rods: play, and preload over a day",
    ),
    HowFound(
        keys=("bay-bursts",),
        told="Hoop stress p r / t of the bay's wall under all its charges, strength over load.",
        page="methods-structure",
        heading="Bay walls under a charge",
    ),
    HowFound(
        keys=("fin-flutters",),
        told="A screen (Martin, NACA TN 4197): flutter speed from stiffness, thickness over span and air,"
        " over top speed.",
        page="methods-structure",
        heading="Fins, quick",
    ),
    HowFound(
        keys=("fin-flutters-by-modes", "stays-would-help", "sheds-in-step"),
        told="Modes of the fin as plate elements, held as it is, in the air's unsteady forces.",
        page="methods-structure",
        heading="Fins in the wind",
    ),
    HowFound(
        keys=("stay-slackens", "stay-breaks", "stay-bows-fin", "stay-anchor-lets-go", "stay-crosses-body"),
        told="A stay as a spring as stiff as what it is anchored to, with its preload over a day.",
        page="methods-structure",
        heading="Stays",
    ),
    HowFound(
        keys=("holds-when-warm", "soft-in-the-sun", "nothing-softens", "warm-part"),
        told="Skin temperature in sun and still air from its colour; strength falls with it.",
        page="methods-structure",
        heading="Heat",
    ),
    HowFound(
        keys=("wall-pulled-apart", "wall-sheared", "test-bars", "brittle-in-the-cold", "nothing-brittle"),
        told="Load across the layers over the low end of bars pulled across their layers.",
        page="methods-structure",
        heading="Across the layers",
    ),
    HowFound(
        keys=("holds-off-time", "holds-on-the-ground", "strength-looked"),
        told="The least reserve over all load cases of the long look.",
        page="methods-structure",
        heading="Load cases of the long look",
    ),
    HowFound(
        keys=("bay-room", "canopy-in-bay", "wall-as-drawn", "fin-root", "joint-between-parts", "joint-free"),
        told="Volumes and distances of solids in place, measured on the mesh.",
        page="methods-inside",
        heading="Bays, walls, roots, joints",
    ),
    HowFound(
        keys=(
            *(
                "rail-clear",
                "rail-fins",
                "button-roots",
                "button-on-skin",
                "button-foot",
                "button-in-rail",
                "button-reach",
                "button-spacing",
            ),
            *("buttons-and-balance", "button-pull-out", "standoff"),
        ),
        told="The rail as a solid beside the skin; buttons as levers about the balance point.",
        page="methods-inside",
        heading="Rail and buttons",
    ),
    HowFound(
        keys=("gets-in", "all-get-in", "motor-goes-in", "canopy-way-out", "sled-reached"),
        told="Each thing is moved along its way through the openings that are open at that time.",
        page="methods-inside",
        heading="How it gets there, and out again",
    ),
    HowFound(
        keys=("crowd-distance", "bystander-distance", "field-size", "over-people", "ceiling", "lands-inside"),
        told="Distances of the code's table, by total impulse, and of the computed flights over every"
        " corner.",
        page="methods-recovery",
        heading="Range safety",
    ),
    HowFound(
        keys=("wall-crushed",),
        told="Stress of axial force and bending, N / EA and M / EI of walls, infill and rods together, "
        "preload included, against the compressive strength (plane sections; infill as an open foam, "
        "Gibson and Ashby).",
        page="methods-structure",
        heading="Walls and rods at a cut",
    ),
    HowFound(
        keys=("wall-wrinkles",),
        told="s_cr = min_m [D (a_m^2 + b^2)^2 + k] / (a_m^2 t) for flats (Timoshenko and Gere, 9.2), and "
        "for tubes the knock-down of NASA SP-8007.",
        page="methods-structure",
        heading="Walls as long as they are high, on infill, or hollow",
    ),
    HowFound(
        keys=("wall-collapses",),
        told="s_y r (1 - 0.22 r) with r = sqrt(s_cr / s_y) for flats (Winter); a tube collapses as it "
        "wrinkles.",
        page="methods-structure",
        heading="Small things that let go",
    ),
    HowFound(
        keys=("rod-pulled",),
        told="Preload and the rod's share of the pull over its stress area (ISO 898-1, ASME B1.1), against "
        "its yield strength.",
        page="methods-structure",
        heading="Walls and rods at a cut",
    ),
    HowFound(
        keys=("washer-sinks", "nut-sinks", "eye-sinks"),
        told="Pull over the area of the ring, against one and a half times the yield strength of what it "
        "presses on; plywood across its grain 10 MPa (handbooks).",
        page="methods-structure",
        heading="Small things that let go",
    ),
    HowFound(
        keys=("nut-pulls-through", "eye-pulls-through"),
        told="Pull over pi D t, against 0.577 of the tensile strength, across the layers of a print.",
        page="methods-structure",
        heading="Small things that let go",
    ),
    HowFound(
        keys=("dowels-shear",),
        told="The force across the joint, against the shear of the pins or the wall of their holes.",
        page="methods-structure",
        heading="Small things that let go",
    ),
    HowFound(
        keys=("motor-tube-lets-go",),
        told="Mean shear F / (pi d L) of the glue, against the low end of the glue table.",
        page="methods-structure",
        heading="Small things that let go",
    ),
    HowFound(
        keys=("motor-leaves",),
        told="The motor's own inertia when a cord stops the body, against the retainer's screws or their "
        "thread.",
        page="methods-structure",
        heading="Small things that let go",
    ),
    HowFound(
        keys=("fin-breaks",),
        told="Strips from root to tip under even pressure; a swept fin is stressed higher at the rear of "
        "its root.",
        page="methods-structure",
        heading="Fins, quick",
    ),
    HowFound(
        keys=("motor-gives", "motor-weighs", "motor-claims"),
        told="Impulse, burn time between the points at 5 % of the peak, and average thrust of the curve, "
        "beside masses, sizes and claims of the motor's file.",
        page="methods-flight",
        heading="Motor",
    ),
    HowFound(
        keys=("firing-current",),
        told="I = V / (R of cells, wires, switches and igniter), low end with every igniter of the event "
        "lit at once, against twice the all-fire current (common practice).",
        page="methods-recovery",
        heading="Firing and batteries",
    ),
    HowFound(
        keys=("stays-up",),
        told="V - I R of the cells while the igniters fire, against the least voltage of the computer.",
        page="methods-recovery",
        heading="Firing and batteries",
    ),
    HowFound(
        keys=("pad-time",),
        told="80 to 100 % of the capacity, times what the cold leaves, over the current of all computers "
        "on it.",
        page="methods-recovery",
        heading="Firing and batteries",
    ),
    HowFound(
        keys=("continuity-current",),
        told="The continuity current against a tenth of the no-fire current and 50 mA (after NASA "
        "Expendable Launch Vehicle Payload Safety Requirements, 13.8.1.1.1).",
        page="methods-recovery",
        heading="Firing and batteries",
    ),
    HowFound(
        keys=("igniter-currents",),
        told="The two currents of the igniter's data sheet are compared with each other.",
        page="methods-recovery",
        heading="Firing and batteries",
    ),
    HowFound(
        keys=("batteries-warm",),
        told="Air and a share of the sunlit wall's rise, nothing to half, a third in the middle (the sun "
        "over an upright round body is 1 / pi), against 60 degC for lithium cells.",
        page="methods-recovery",
        heading="Firing and batteries",
    ),
    HowFound(
        keys=("own-event", "computers-fire", "parts-in-path", "wired-in", "arming-switches"),
        told="The wiring of the sheet is followed from each battery through switch and computer to igniter "
        "and charge.",
        page="methods-recovery",
        heading="What breaks alone",
    ),
)
_GENERAL = (
    _SHEET,
    HowFound(
        keys=(*inside.WORDS, *fittings.WORDS),
        told="Everything inside stands as a solid in its place: what meets, and how deep, is measured.",
        page="methods-inside",
        heading="Things as solids",
    ),
    HowFound(
        keys=(*air.WORDS,),
        told="Force per angle of the fins, less what the air in front of them takes.",
        page="methods-air",
        heading="Fins",
    ),
    HowFound(
        keys=(*stability.WORDS,),
        told="margin = forward end of the pressure band - aft end of the balance point, at the worst angle "
        "met.",
        page="methods-air",
        heading="From slices to the body",
    ),
    HowFound(
        keys=(*strength.WORDS,),
        told="reserve = low end of the strength / high end of the load, at every cut and in every case.",
        page="methods-structure",
        heading="Walls and rods at a cut",
    ),
    HowFound(
        keys=(*flight.WORDS,),
        told="The flight is computed in six degrees of freedom from the pad to the ground, over every "
        "corner.",
        page="methods-flight",
        heading="Equations of motion",
    ),
    HowFound(
        keys=(*recovery.WORDS,),
        told="What the sheet says of canopies, cords and bays is compared with what each needs.",
        page="methods-recovery",
        heading="What must be there, and what cannot be",
    ),
    HowFound(
        keys=(*electronics.WORDS,),
        told="I = V / (R of cell, wires, switches and igniter), cells as cold and as empty as they may be.",
        page="methods-recovery",
        heading="Firing and batteries",
    ),
    HowFound(
        keys=(*sensing.WORDS,),
        told="Pressure of the body's own flow at the holes, and through them into the bay, late by its lag.",
        page="methods-recovery",
        heading="Ports",
    ),
    HowFound(
        keys=(*range_safety.WORDS,),
        told="The day against the limits of the code that the sheet names.",
        page="methods-recovery",
        heading="Range safety",
    ),
)
WAYS = (*_SPECIAL, *_GENERAL)


def way_of(key: str) -> str:
    """Say how the number of a check is found.

    Examples
    --------
    >>> way_of("landing-energy").partition(",")[0]
    'E = m v^2 / 2 of each piece'
    """
    way = _by_key()[key]
    return f"{way.told} More: docs/{way.page}.md, “{way.heading}”."


@cache
def _by_key() -> dict[str, HowFound]:
    """Give each check the first way that names it: what is special stands before what is general."""
    return {key: way for way in reversed(WAYS) for key in way.keys}
