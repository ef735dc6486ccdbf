"""What holds motors, closes bays, and whether sizes and masses agree."""

from finial.report.wording.form import GROUND_TEST, Wording

WORDS = {
    "motor-held": Wording(
        title="share of {name} that its tube holds",
        why="What a tube does not hold leans under thrust, and strikes what stands beside it.",
        limits={"": "at least half", "tube": "a tube that holds the motor, under mount"},
        fixes={
            "enter": "Enter the tube of {name} under [motor], as mount with across, bore and stations.",
            "longer": "The tube of {name} ends short of what holds it straight.",
        },
    ),
    "motor-play": Wording(
        title="play of {name} in its tube",
        why="A tight one does not slide in; a loose one may lean by {lean}: thrust then turns the vehicle.",
        fixes={
            "widen": "The tube is narrower than {name}, or one of the two diameters is wrong.",
            "sleeve": "The tube is wider than {name} by more than a sliding fit.",
        },
    ),
    "motor-bears": Wording(
        title="hole of the thrust plate wider than {name}",
        why="The motor pushes on the plate with a narrow ring at its aft end: it goes through a wider hole.",
        fixes={"smaller-hole": "The hole lets the motor through, and its aft ring bears on nothing."},
    ),
    "motor-at-plate": Wording(
        title="end of {name} behind its thrust plate",
        why="The end that pushes must meet the plate: one that pushes on nothing runs through the vehicle.",
        fixes={
            "aft": "{name} ends ahead of its plate: nozzle_station under [motor] and station"
            " under thrust_plate say where they are.",
            "fore": "{name} ends behind its plate: nozzle_station under [motor] and station"
            " under thrust_plate say where they are.",
        },
    ),
    "motor-room": Wording(
        title="room for motors in the place of {name}",
        why="Motors are chosen by room under [motor], and one of that length runs into {ahead}.",
        fixes={"enter": "One of two numbers is wrong: room, or where {ahead} stands."},
    ),
    "bay-closed": Wording(
        title="open share at an end of {name}",
        why="At {station} the gas of the charge goes past instead of parting the joint.",
        fixes={"close": "No bulkhead or floor with its size closes the bay at {station}. " + GROUND_TEST},
    ),
    "bay-end-plate": Wording(
        title="a plate at an end of {name}",
        why="At {station} print alone takes the push of the charge: whether it holds, nobody knows.",
        limits={"": "a bulkhead or a floor as wide as the bay"},
        fixes={
            "enter": "Enter the bulkhead at {station} as an item with its size and material, or build one in."
        },
    ),
    "bay-tube-entered": Wording(
        title="tubes that are walls of bays",
        why="The wall is said to be of another material than any part, and no such tube stands there: the"
        " print takes the pressure, and the tube's mass is missing.",
        limits={"": "a part, or a tube among the items, for each"},
        fixes={
            "enter": 'Enter the tube of {name} as an item of kind = "tube" with mass, across, bore, length,'
            " its bore as wide as the bay; or say what part is its wall: material under [[recovery.bay]]."
        },
    ),
    "bay-tube-covers": Wording(
        title="share of {bay} that {name} covers",
        why="Beyond the tube the print takes the pressure, and the pack rubs on it.",
        fixes={"longer": "{name} ends before {bay} does."},
    ),
    "bay-tube-wall": Wording(
        title="wall of {bay} as said, over that of {name}",
        why="Two numbers for one wall: its strength under the charge was asked of the one under"
        " [[recovery.bay]].",
        fixes={
            "measure": "Measure the tube; mend wall under [[recovery.bay]], or across and bore of {name}."
        },
    ),
    "bay-tube-stuff": Wording(
        title="what {name} is made of",
        why="Strength and stretch under the charge are those of what the wall of {bay} is said to be.",
        limits={"": "one material for {bay} and its tube"},
        fixes={"look": "{bay} and its tube are said to be of {stuffs}: one of them is wrong."},
    ),
    "mass-and-size": Wording(
        title="density of {name} from its mass and size",
        why="Nothing of that kind and size weighs so: one of the two is wrong, and with it balance or room.",
        fixes={"look": "Weigh {name} and measure it again; name its material."},
    ),
    "motor-tube-weighed": Wording(
        title="mass of what holds the motor",
        why="Its tube stands in the tail: left out of the mass table, the balance point is too far forward.",
        limits={"": "an item that weighs for every motor's tube"},
        fixes={"enter": 'Enter tube and retainer as an item with room_of = "motor tube" and their mass.'},
    ),
    "masses-and-sizes": Wording(
        title="masses and sizes of the items",
        why="Nothing weighs more than its room in lead.",
        limits={"": "masses and sizes that agree"},
    ),
    "in-its-room": Wording(
        title="{name} outside {other}",
        why="It is said to be {other} itself, and weighs somewhere else: the balance point is wrong.",
        fixes={"move": "The middle of {other} is not the station of {name}."},
    ),
    "standoff": Wording(
        title="longest standoff of a rail button",
        why="A button far from the skin bends its screw, and twists the vehicle about the rail in the wind.",
        fixes={"nearer": "Ledges of that side keep the rail that far from the skin."},
    ),
    "part-weight": Wording(
        title="weighed mass of {name}",
        why="Mesh, wall and infill give {computed}: it was printed otherwise, or something else was weighed.",
        limits={"": "what its mesh and print give, within a third"},
        fixes={
            "look": "Weigh {name} again, and enter wall and infill as printed: strength follows from them."
        },
    ),
    "whole-weighed": Wording(
        title="the whole weighed and hung",
        why="A mass table forgets what is not in it: glue, paint, wires, a nut. A scale and a cord do not.",
        limits={"": "weighed as packed, and its balance point found"},
        fixes={
            "weigh": "Pack it as it flies, weigh it and find where it hangs level: enter [weighing].",
            "hang": "It was weighed and not hung: find where it balances and enter weighing.balance.",
        },
    ),
    "whole-mass": Wording(
        title="the whole on a scale, without motors",
        why="The mass table gives {table}: something is in no row, or a row is not what it weighs.",
        limits={"": "what the mass table gives, within its own intervals"},
        fixes={"look": "Weigh the parts one by one until the table and the scale agree."},
    ),
    "whole-balance": Wording(
        title="where the whole balances, without motors",
        why="The mass table gives {table}: something is heavier, or stands elsewhere, than its row says.",
        limits={"": "what the mass table gives, within its own intervals"},
        fixes={"look": "Measure the stations again, the heaviest first, and hang it once more."},
    ),
    "part-weights": Wording(
        title="weighed parts against their meshes",
        why="Where they differ much, the print is not what the sheet says, and its strength is another.",
        limits={"": "what meshes and prints give, within a third"},
    ),
}
"""Every check of what is built in."""
