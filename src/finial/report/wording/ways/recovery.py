"""How the checks of charges, pins, cords and canopies find what they judge."""

from finial.report.wording.ways.form import HowFound

WAYS = (
    HowFound(
        page="methods-recovery",
        heading="What must be there, and what cannot be",
        told={
            "brought-down": "Whether the sheet has a canopy.",
            "cord-across-joint": "Whether a cord is tied across every joint that comes apart.",
            "cord-ends": "Stations of what the cord is tied to, either side of where the joint parts.",
            "canopy-lines": "Length of the lines over the canopy's diameter, 0.6 to 3 (0.8 to 1.2 is usual).",
            "protector": "Whether every canopy that lies beside powder has a protector.",
            "bay-wall-stuff": "Whether the wall's material breaks brittle or softens below 120 degC, and"
            " whether a shot on the ground parted the joint all the same.",
            "protector-covers": "Protector's mass over cloth of 0.10 kg/m2, against a wrap pi d (l + d /"
            " 4) of the pack.",
            "bay-opener": "Whether a charge lies in every bay that holds a canopy.",
            "joint-opener": "Whether anything breaks the pins of every joint that has some.",
            "charge-roles": "Charges of one bay at one moment are counted that are nobody's backup.",
            "pack-size": "Mass of canopy, lines and protector over the volume of the pack's given size,"
            " against 352 kg/m3 by hand and 720 under a press (Knacke, from memory).",
            "canopy-cloth": "Mass of the canopy over its nominal area, 20 to 600 g/m2.",
            "canopy-drag": "Drag area over the area of all cloth, against 1.2 times the highest of its kind.",
            "shoulder": "Overlap of the joint over the diameter of its widest bay: 0.5 usual, 0.25 the"
            " least.",
            "own-odds": "Sum of the sheet's own odds that a canopy stays in or stays bundled, 5 % at most.",
            "pull-test-cord": "Pull of the lip's test against the breaking load of the cord that pulled it.",
            "cord-mass": "Breaking load over mass for each length, 0.01 to 2.2 N/tex.",
            "ground-test": "Powder of each shot on the ground against that of the flight: less that parted"
            " is go, as much that did not is a no-go.",
        },
    ),
    HowFound(
        page="methods-recovery",
        heading="Charges",
        told={
            "charge-opens": "p = eta m R T / V on the joint's area, against 1.25 times what pins, friction"
            " and drag hold.",
            "charge-in-time": "Speed and height when a charge beside the canopy's own moment fires alone;"
            " its opening load against the cord.",
            "backup-larger": "Powder of the backup over that of the charge it stands in for.",
            "waits-for-height": "The lowest top of all flights against the height at which it fires.",
        },
    ),
    HowFound(
        page="methods-recovery",
        heading="Pins",
        told={
            "pins-hold": "Shear strength of all pins, stress area x 45.9 MPa give or take a quarter and"
            " the day's warmth, low end, against drag, trapped air and springback on the joint.",
            "pins-straight": "Pins of the joint are counted, two at least.",
        },
    ),
    HowFound(
        page="methods-recovery",
        heading="Opening load",
        told={
            "opening-load": "F = q C_D S C_x X_1: drag at line stretch, the kind's overshoot, and how far"
            " the vehicle slows while it fills, against the weakest cord.",
        },
    ),
    HowFound(
        page="methods-recovery",
        heading="Cords",
        told={
            "cord-separation": "F = v sqrt(mu k): the energy of the parting halves in the cord as a"
            " spring, against its strength with knots.",
        },
    ),
    HowFound(
        page="methods-recovery",
        heading="Packs",
        told={
            "pack-leaves-bay": "Contents over the bay's volume, against 352 kg/m3 by hand and 720 under a"
            " press, and the mouth over the pack's diameter.",
            "pack-exit": "Pull through the cord, or push of a charge behind the pack, over the friction of"
            " 0.15 to 0.5 on a wall pressed with 1 to 100 kPa.",
        },
    ),
    HowFound(
        page="methods-recovery",
        heading="Charges in time",
        told={
            "charge-parts-joint": "Grains that burn, gas that mixes, cools and leaks, pins, friction and"
            " shoulder, stepped in time at the weak end: the speed at which the sides part.",
            "joint-force": "Peak pressure of all the bay's charges at once, strong end, on the joint's"
            " area, against 300 lbf or what the joint needs.",
        },
    ),
    HowFound(
        page="methods-recovery",
        heading="Pieces on cords",
        told={
            "cord-in-time": "Two rigid sides, a knot and a canopy on cords T = k x (1 + beta x'), stepped"
            " in time over lateness, winds and starts: the largest pull against the cord.",
            "sides-keep-apart": "The same paths: whether the sides meet again, and how fast.",
        },
    ),
    HowFound(
        page="methods-recovery",
        heading="The lip",
        told={
            "lip-holds": "Bearing T (1 - cos a) = s w b or tear-out T sin a = 0.6 s t w, the weaker, or a"
            " pull test, over the largest pull of the separation in time.",
        },
    ),
)
