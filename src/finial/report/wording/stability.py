"""The margin between balance point and pressure band."""

from finial.report.wording.form import Wording

WORDS = {
    "margin": Wording(
        title="margin at {case}",
        why="If the air pushes ahead of the balance point the vehicle turns round.",
        reasons={
            "short-and-fat": "This shape is only {slenderness} widths long: the rule of one width was made"
            " for slender round bodies, so read the margin in % of length too.",
            "by-moment": "The force on this shape may nearly vanish, so that no centre of pressure means"
            " anything: the margin is the moment about the balance point over a force slope of {force}. The"
            " moment slope itself is {slope} per radian, on the largest section and its width.",
        },
        fixes={
            "move-apart": "At the bad end the balance point is {short} too far aft, or the pressure"
            " band as much too far forward.",
            "another-shape": "Ballast and fins alone do not part them by the {short} that are missing on a"
            " body {length} long: its shape is too short for it.",
        },
    ),
}
