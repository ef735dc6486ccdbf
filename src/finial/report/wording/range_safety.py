"""The field, the code and the day."""

from finial.report.wording.form import DECIDES, Wording

WORDS = {
    "crowd-distance": Wording(
        title="distance to people",
        why=f"A motor that fails throws parts. {DECIDES}",
        fixes={
            "move-people": "Move people back to the distance in the table, or enter launch.crowd_distance as"
            " measured."
        },
    ),
    "wind": Wording(
        title="wind",
        why=f"Wind turns it on the rail and carries it on the canopy. {DECIDES}",
        fixes={"wait": "Wait for a calmer hour."},
    ),
    "rail-tilt": Wording(
        title="rail tilt",
        why=f"A tilted rail throws it far and flat. {DECIDES}",
        fixes={"upright": "Set the rail closer to upright."},
    ),
    "ceiling": Wording(
        title="apogee under the ceiling",
        why=f"Aircraft use the air above it. {DECIDES}",
        limits={"": "the site's ceiling, which is not entered"},
        fixes={
            "enter": "Enter ceiling_agl in the site file: ask the field who holds the authorisation.",
            "lower": "A smaller motor, more ballast or more drag.",
        },
    ),
    "lands-inside": Wording(
        title="landing inside the field",
        why=f"Beyond the edge are roads and people. {DECIDES}",
        limits={"": "the field's radius, which is not entered"},
        fixes={
            "enter": "Enter field_radius in the site file.",
            "less-drift": "A faster descent until low down, a calmer hour, or a rail leaning into the wind.",
        },
    ),
}
