"""Off the rail, and to the ground."""

from finial.report.wording.form import Wording

WORDS = {
    "rail-exit-speed": Wording(
        title="speed off the rail",
        why="Below it the fins have no grip yet and the wind turns the vehicle as it leaves.",
        fixes={"faster": "Longer rail, lighter vehicle, a motor with more early thrust, or a calmer hour."},
    ),
    "thrust-to-weight": Wording(
        title="thrust to weight",
        why="Too little thrust leaves the rail slowly and tilts into the wind.",
        fixes={"more-thrust": "A motor with more average thrust, or a lighter vehicle."},
    ),
    "methods-range": Wording(
        title="top speed within the methods' range",
        why="The air loads hold to Mach {mach}; beyond it every margin here is a guess.",
        limits={"": "below Mach {mach}"},
        fixes={"slower": "A smaller motor, or a heavier or blunter vehicle."},
    ),
    "lands": Wording(
        title="flight computed to the ground",
        why="A flight that could not be followed to the ground is not an answer.",
        limits={"": "lands"},
        fixes={"stopped": "The computed flight stopped: {ended}."},
    ),
    "opens-in-the-air": Wording(
        title="{name} is open before the ground",
        why="A canopy that comes out too late is no canopy: the vehicle meets the ground at full speed.",
        limits={"": "open in the air, in every flight computed"},
        fixes={
            "earlier": "An earlier event or a shorter delay for {name}, in canopy, charge and igniter alike."
        },
    ),
}
