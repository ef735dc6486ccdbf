"""How the checks of walls, rods, joints, fins, stays and heat find what they judge."""

from finial.report.wording.ways.form import HowFound

WAYS = (
    HowFound(
        page="methods-structure",
        heading="Walls and rods at a cut",
        told={
            "wall-crushed": "N / EA and M / EI of walls, infill and rods together, preload included,"
            " against the compressive strength (plane sections; infill as an open foam, Gibson and Ashby).",
            "joint-opens": "Preload left at the worst hour of the day over the area held shut, against"
            " bending and pull, N / A + M c / I, at the joint.",
            "joint-unheld": "Rods, glue and dowels across the joint are looked for; without any, parts"
            " only touch.",
            "rod-pulled": "Preload and the rod's share of the pull over its stress area (ISO 898-1, ASME"
            " B1.1), against its yield strength.",
            "rod-end-unsaid": "Whether the sheet says what the nuts at the rod's ends press on.",
            "rod-ends-nowhere": "Whether a part or plate stands at the stations of the rod's ends.",
            "thrust-unsaid": "Whether the sheet has a thrust plate or a glued tube that takes the thrust.",
            "print-too-thin": "Wall or fin thickness as drawn, against two widths of the nozzle.",
        },
    ),
    HowFound(
        page="methods-structure",
        heading="Walls as long as they are high, on infill, or hollow",
        told={
            "wall-wrinkles": "s_cr = min_m [D (a_m^2 + b^2)^2 + k] / (a_m^2 t) for flats (Timoshenko and"
            " Gere, 9.2), and for tubes the knock-down of NASA SP-8007.",
            "wall-pressed": "Bending of a clamped plate of finite length under 0.3 to 1 of the dynamic"
            " pressure, on infill where there is some, against the strength of the way that it spans.",
        },
    ),
    HowFound(
        page="methods-structure",
        heading="Across the layers",
        told={
            "wall-pulled-apart": "N / A + M c / I across the layers over the low end of bars pulled across"
            " their layers, as warm as the wall gets.",
        },
    ),
    HowFound(
        page="methods-structure",
        heading="Small things that let go",
        told={
            "wall-collapses": "s_y r (1 - 0.22 r) with r = sqrt(s_cr / s_y) for flats (Winter); a tube"
            " collapses as it wrinkles.",
            "wall-sheared": "T / (2 A_m t) + 2 V / A (Bredt), against 0.577 of the strength across the"
            " layers.",
            "washer-sinks": "Pull over the ring of the washer, against one and a half times the yield"
            " strength of what it presses on; plywood across its grain 10 MPa (handbooks).",
            "nut-sinks": "Pull over the ring of the nut's own flats, against one and a half times the"
            " yield strength of what it presses on.",
            "nut-pulls-through": "Pull over pi D t of the plate round the nut or washer, against 0.577 of"
            " its tensile strength, across the layers of a print.",
            "eye-sinks": "Pull of the cord over the ring of the eye's washer, against one and a half times"
            " the yield strength of its plate.",
            "eye-pulls-through": "Pull of the cord over pi D t round the eye's washer, against 0.577 of"
            " the plate's tensile strength.",
            "dowels-shear": "The force across the joint over the dowels' area, or over d t of their holes'"
            " wall, the weaker.",
            "motor-tube-lets-go": "Mean shear F / (pi d L) of the tube's glue, against the low end of the"
            " glue table.",
            "motor-leaves": "Motor mass x the body's deceleration as a cord stops it, or a charge's push"
            " on its fore end, against screws or thread of its retainer.",
            "plate-lets-go": "Load over pi d t of the glue round the plate's rim, or against the pull that"
            " the sheet says it held.",
            "eye-unsaid": "Whether the sheet has an eye, amid a plate, that takes the pull of each end of"
            " the cord.",
        },
    ),
    HowFound(
        page="methods-structure",
        heading="Threads, columns, plates",
        told={
            "rod-strips": "Pull over the strip area of a nut 0.8 diameters high, against 0.577 of the"
            " tensile strength.",
            "rod-buckles": "Euler's pi^2 E I / L^2, and Johnson's parabola above half the squash load,"
            " between the rod's supports.",
            "thrust-plate-breaks": "Round plate held at its rim, pushed on a circle (Timoshenko, article"
            " 16), up to doubled by its hole, against the yield strength.",
            "plate-breaks": "Round plate under even pressure or a pull amid it, its rim held loosely to"
            " stiffly (Timoshenko), against the strength of its stuff.",
            "eye-breaks": "Pull of the cord over the stress area of the eye's thread, against its proof"
            " stress.",
        },
    ),
    HowFound(
        page="methods-structure",
        heading="Rods: play, and preload over a day",
        told={
            "rod-loose": "Whether a rod has a preload: with play it takes nothing until that is used up.",
        },
    ),
    HowFound(
        page="methods-structure",
        heading="Bay walls under a charge",
        told={
            "bay-bursts": "p (d - t) / (2 t) in a round tube, p b^2 / (2 t^2) in a flat side, of the bay's"
            " charges all at once, against the strength of its wall.",
        },
    ),
    HowFound(
        page="methods-structure",
        heading="Load cases of the long look",
        told={
            "holds-off-time": "The least reserve under what cords pull when events come 3 s early to 5 s"
            " late.",
            "holds-on-the-ground": "The least reserve of landing on an edge, F = m v^2 / d with what the"
            " ground gives, and of lifting at one end with up to twice the weight.",
        },
    ),
    HowFound(
        page="methods-structure",
        heading="Fins, quick",
        told={
            "fin-breaks": "Strips from root to tip under even pressure; a fin swept by 45 degrees is"
            " stressed up to twice as high at the rear of its root.",
            "fin-flutters": "A screen (Martin, NACA TN 4197): flutter speed from shear modulus, thickness"
            " over chord and span over chord, over the top speed.",
        },
    ),
    HowFound(
        page="methods-structure",
        heading="Fins as plate elements",
        told={
            "fin-root-lets-go": "Moment and force at the root over depth and length of its glue, against"
            " the low end of the glue table.",
        },
    ),
    HowFound(
        page="methods-structure",
        heading="Fins in the wind",
        told={
            "fin-flutters-by-modes": "Eight modes of the fin as plate elements, held as it is, in a"
            " lattice of unsteady vortices: the speed where a swing first grows, over the top speed.",
        },
    ),
    HowFound(
        page="methods-structure",
        heading="Stays",
        told={
            "stays-would-help": "A search over places and wires in the fin's own modes, T = 2.5 times what"
            " the load takes from a wire, worked out again in the plate.",
            "stay-slackens": "T L / (E A c), the swing at which the wire goes slack, over that of the"
            " load, preload at the worst hour of the day.",
            "stay-breaks": "T + (E A / L) c w of the tighter wire over its breaking load.",
            "stay-bows-fin": "Inward pull of the preload over 2.046 pi^2 E I / y^2 of the fin's strip.",
            "stay-anchor-lets-go": "The wire's largest pull over what its anchor was tested to hold.",
            "stay-crosses-body": "The straight line from fin to anchor against the skin.",
        },
    ),
    HowFound(
        page="methods-structure",
        heading="Heat",
        told={
            "holds-when-warm": "Reserves that miss their limit at the wall's temperature, and would not at"
            " 20 degC: the least of them.",
            "soft-in-the-sun": "Softening less skin temperature less 10 K: sunlight taken up = heat to the"
            " air + glow, by colour.",
            "nothing-softens": "The plastics of the outside are looked up.",
            "warm-part": "Softening less temperature less 10 K, in a closed car (20 to 45 K above the air)"
            " and on the motor's tube (40 to 95 degC, assumed).",
            "brittle-in-the-cold": "Air of the day against the coldest in which prints of that plastic, or"
            " plates of it, are usually knocked about.",
            "nothing-brittle": "The plastics of the parts are looked up.",
        },
    ),
    HowFound(
        page="methods-air",
        heading="Vortices in step",
        told={
            "sheds-in-step": "f = 0.2 V / h of ledges and legs against the modes of fins and walls within"
            " twenty heights behind; in step, up to 2.5 times the dynamic pressure against the strength.",
            "nothing-sheds-in-step": "Modes of fins and walls against what ledges and legs ahead shed.",
        },
    ),
)
