"""How the checks of the flight find what they judge."""

from finial.report.wording.ways.form import HowFound

WAYS = (
    HowFound(
        page="methods-flight",
        heading="Off the rail, and straight",
        told={
            "rail-exit-speed": "m dv/dt = thrust - weight along the rail - drag - friction, until the fore"
            " button leaves or the balance point passes the rail's end; over every corner.",
            "rail-for-buttons": "(L - (s0 - sf)) / (sa - sf): way on the rail with both buttons, over the"
            " way with one.",
            "tip-off": "Turn while the last button alone still guides: gravity, wind and thrust beside the"
            " balance point, I d2a/dt2 = sum of moments.",
            "buttons-apart": "atan(p / g): play of 1 to 3 mm over the gap between the buttons.",
            "rail-exit-wind": "Speed off the rail over the wind, high end, at the height of the rail's end.",
            "rail-exit-angle": "atan(w / v): the wind at the height of the rail's end over the speed there.",
            "lost-flight": "Each computed flight is searched for the moment it turns over, opens under"
            " thrust, or meets the ground under thrust.",
            "before-burnout": "Time of each canopy and charge less that of burnout, the least of all"
            " flights.",
        },
    ),
    HowFound(
        page="methods-flight",
        heading="Motor",
        told={
            "thrust-to-weight": "Average thrust over lift-off mass times g, low end of the motor's scatter"
            " over the high end of the mass.",
        },
    ),
    HowFound(
        page="methods-flight",
        heading="From the pad to the ground",
        told={
            "lands": "The nominal flight, six degrees of freedom from pad to ground, must end there.",
            "opens-in-the-air": "Height at which each canopy is full, the least of the flights at the"
            " corners of thrust, mass, drag and wind.",
            "methods-range": "Highest Mach number of the flight, against 0.9.",
        },
    ),
    HowFound(
        page="methods-recovery",
        heading="Descent and landing",
        told={
            "landing-speed": "v = sqrt(2 m g / (rho C_D S)), with the density of the air at the field that"
            " day.",
            "landing-energy": "E = m v^2 / 2 of each piece, v the descent speed.",
            "landing-energy-in-wind": "E = m (v^2 + w^2) / 2 of the heaviest piece, w the wind's speed.",
        },
    ),
)
