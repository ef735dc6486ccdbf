"""How the checks of the air and of balance find what they judge."""

from finial.report.wording.ways.form import HowFound

WAYS = (
    HowFound(
        page="methods-air",
        heading="Fins",
        told={
            "fins": "Force of every row of fins per angle, in each plane, less what the air ahead takes.",
        },
    ),
    HowFound(
        page="methods-air",
        heading="Steps, overhangs, tails",
        told={
            "clean-air": "Share of a fin's span that lies in the dead air behind a step or flat front"
            " ahead of it, which reaches about six step heights.",
        },
    ),
    HowFound(
        page="methods-air",
        heading="Air loads from elsewhere",
        told={
            "own-drag": "Axial force straight ahead, motor out, with own numbers over that without: outside"
            " the computed interval it is a caution, beyond half and twice not known.",
            "own-centre": "Own centre at a small angle less the computed one: more than a twentieth of the"
            " length is a caution, more than a tenth not known.",
        },
    ),
    HowFound(
        page="the-tunnel",
        heading="In the sheet",
        told={
            "tunnel-study": "The study's shape, by its content, against that of the sheet; its angles and"
            " grids against the fewest that make a table.",
            "tunnel-agrees": "The study's centre with its error, at each angle, against the sections' band.",
        },
    ),
    HowFound(
        page="methods-air",
        heading="From slices to the body",
        told={
            "margin": "margin = forward end of the pressure band - aft end of the balance point, at the"
            " worst angle met.",
        },
    ),
    HowFound(
        page="methods-flight",
        heading="Off the rail, and straight",
        told={
            "off-axis": "The angle at which the air's turning moment, slope x angle x dynamic pressure at"
            " the end of the rail, equals thrust x arm of the balance point beside the thrust's line.",
            "cluster-lights": "The same angle with each motor in turn unlit: the thrust that is left times"
            " its arm.",
            "cluster-in-step": "How far sum(T y) / sum(T) of the motors moves across while they burn, 5 mm"
            " at most.",
            "steady-angle": "The angle to the air at which all moments are zero with nothing disturbing it.",
        },
    ),
    HowFound(
        page="methods-air",
        heading="What an angle to the air may start",
        told={
            "swing": "zeta = c / (2 sqrt(k I)): damping of body, fins and jet, over that which ends a"
            " swing at once; k is the moment slope times dynamic pressure.",
            "air-keeps-up": "2 pi sqrt(2 I / (rho k)), k the moment slope over dynamic pressure, against the"
            " larger of 63 mean chords and 20 widths.",
            "spin": "Roll rate of canted or crooked fins over sqrt(q k / (It - Ix)) / 2 pi; a body's"
            " crookedness grows by 1 / (1 - r^2).",
            "turned-shape": "Phase of the moments of each section about its middle, int z^m dA with m of 2 to"
            " 8, from one section to the next: what keeps turning one way is a screw.",
            "gallop": "The angle above which flats feed a swing faster than body and fins end it (den"
            " Hartog: g = -k dc_side/dphi - c), against the largest angle to the air.",
            "lopsided": "The smaller of twice the half angle of the tip and atan(4.2 d / l), give or take"
            " a fifth, against the largest angle to the air.",
        },
    ),
)
