"""The field, the code and the day."""

from finial.report.wording.form import DECIDES, Wording

_UNREAD = "The code's own limit was not read: that of the High Power Rocket Safety Code stands for it."

WORDS = {
    "crowd-distance": Wording(
        title="distance to people",
        why=f"A motor that fails throws parts. {DECIDES}",
        fixes={
            "move-people": "People stand nearer than the table asks; launch.crowd_distance is what"
            " was measured."
        },
        reasons={
            "together": "{count} rockets leave at once: the larger of the readings of the code, for all their"
            " impulse together."
        },
    ),
    "over-people": Wording(
        title="ground track of the flights beside the people",
        why=f"What fails overhead comes down on them. {DECIDES}",
        limits={"told": "where round the pad they stand"},
        fixes={
            "enter": "Enter launch.crowd_bearing and crowd_across: on which side of the pad people stand.",
            "elsewhere": "Where they stand, the lean of the rail and the wind decide it.",
        },
    ),
    "bystander-distance": Wording(
        title="distance to people and property with no part in the launch",
        why="They have not agreed to stand under it: a quarter of the height, and {least} at least."
        f" {DECIDES}",
        limits={"": "nothing here: 14 CFR 101.25 does not govern this code's field"},
        fixes={
            "enter": "Enter launch.bystander_distance as measured, or field_radius in the site file; fly"
            " lower, or from a larger field."
        },
    ),
    "field-size": Wording(
        title="least side of the field",
        why=f"What comes down should come down on it. {DECIDES}",
        limits={"": "the code's own rule, which is not in the tables here"},
        fixes={
            "ask": "Ask the range safety officer how large the field must be.",
            "larger": "The field is smaller than the flight asks for; field_radius or its"
            " outline in the site file says how large it is.",
        },
    ),
    "airspace": Wording(
        title="airspace",
        why=f"Aircraft in controlled air rely on nothing coming up from below. {DECIDES}",
        limits={"": "uncontrolled, or flown with an authorisation"},
        fixes={
            "enter": "Enter airspace in the site file, from the aeronautical chart.",
            "authorise": "Class {airspace} is controlled. Get the authorisation, then enter authorised_by in"
            " the site file.",
            "look": "Class {airspace} is controlled, authorised by {by}: have it in hand on the day, and keep"
            " to its height and hours.",
        },
    ),
    "wind": Wording(
        title="wind",
        why=f"Wind turns it on the rail and carries it on the canopy. {DECIDES}",
        reasons={"unread": _UNREAD},
        fixes={
            "wait": "It blows more than the limit.",
            "ask": "Ask the range safety officer for the code's limit.",
        },
    ),
    "rail-tilt": Wording(
        title="rail tilt",
        why=f"A tilted rail throws it far and flat. {DECIDES}",
        reasons={"unread": _UNREAD},
        fixes={
            "upright": "The rail leans more than the limit.",
            "ask": "Ask the range safety officer for the code's limit.",
        },
    ),
    "pad-pressure": Wording(
        title="pressure at the pad, off that of the site's height",
        why="Density, speed of fall and every height that a barometer tells hang on it.",
        limits={"standard": "not entered: that of a standard day at the site's height"},
        fixes={
            "look": "Look at launch.pressure and at ground_asl of the site again: a pressure reduced to the"
            " sea, or one of the two in another unit."
        },
    ),
    "ceiling": Wording(
        title="apogee under the ceiling",
        why=f"Aircraft use the air above it. {DECIDES}",
        limits={"": "the site's ceiling, which is not entered"},
        fixes={
            "enter": "Enter ceiling_agl in the site file: ask the field who holds the authorisation.",
            "lower": "It flies higher than the ceiling.",
        },
    ),
    "lands-inside": Wording(
        title="landing inside the field",
        why=f"Beyond the edge are roads and people. {DECIDES}",
        limits={"": "the field's radius, which is not entered"},
        fixes={
            "enter": "Enter field_radius in the site file.",
            "less-drift": "The time of the fall, the wind and the rail's lean decide it.",
        },
    ),
}
