"""The margin between balance point and pressure band."""

from finial.report.wording.form import Wording

WORDS = {
    "margin": Wording(
        title="margin at {case}",
        why="If the air pushes ahead of the balance point the vehicle turns round.",
        reasons={
            "short-and-fat": "This shape is only {slenderness} widths long: the rule of one width was made"
            " for slender round bodies, so read the margin in % of length too."
        },
        fixes={
            "move-apart": "Move the balance point {short} forward (ballast near the tip, lighter tail) or the"
            " pressure band {short} aft (larger fins, or fins further aft)."
        },
    ),
}
