"""How the checks of what is inside find what they judge."""

from finial.report.wording.ways.form import HowFound

WAYS = (
    HowFound(
        page="methods-inside",
        heading="What may share its room",
        told={
            "same-room": "How deep two solids in their places run into each other: apart by the best plane"
            " between them, or by the play of the one in the other's bore.",
            "into-print": "g = +- d(c, edge of the room) - r, the least over all stations: how far a thing"
            " of radius r round c stands in print.",
            "out-of-skin": "The same distance to the skin: how far a thing stands out of it.",
            "shape-and-things": "Things in print or out of the skin at once: four are no slips of their own.",
            "all-clear": "The least of all these distances, where nothing meets and every cut closes.",
            "held": "Distance to the nearest print, plate, tube or rod, against the 2.5 mm that a sleeve"
            " or glue bridges.",
            "nut-reached": "Nuts three quarters of which stand in print, with more than 25 mm of it before"
            " them along their rod.",
            "nuts-reached": "Each nut's distance to free room, and print before it along its rod.",
            "all-held": "Distance of each thing to what may hold it, against 2.5 mm.",
            "sizes-given": "Rooms V = m / rho that had to be taken from an assumed density are listed.",
            "loose-pieces": "Mass of small items without a place, over that of all items.",
            "sled-placed": "Whether the sheet says where the electronics stand.",
            "plate-placed": "Whether the sheet says where the thrust plate stands.",
        },
    ),
    HowFound(
        page="methods-inside",
        heading="How it gets there, and out again",
        told={
            "gets-in": "Each thing is slid along its axis to either end of its part, and across through"
            " open sides in sixteen directions; the largest it lacks on the best way is told.",
            "all-get-in": "Each thing is slid along its axis to either end of its part, or across.",
            "motor-goes-in": "The motor is slid from aft, or from a joint, past everything that stays.",
            "canopy-way-out": "Width of each opening on the way to the joint, against the diameter that"
            " the pack rolls to.",
            "sled-reached": "The sled is slid to a joint, to the base or to a clamped seam past all that"
            " stays.",
        },
    ),
    HowFound(
        page="methods-inside",
        heading="Bays, walls, roots, joints",
        told={
            "bay-room": "pi / 4 D^2 L of the bay's tube less canopies, protectors and cord; the sheet's"
            " own figure must lie within 0.8 to 1.25 of it.",
            "canopy-in-bay": "Ends of the canopy's place against the ends of its bay.",
            "wall-as-drawn": "The thinnest print between the outside and any hole, square to its slope,"
            " against print.wall less 0.1 mm for facets.",
            "fin-root": "Largest gap between root and skin, against 1 mm under a fillet or half the depth"
            " of its tab or slot.",
            "joint-between-parts": "Distance of the joint to the nearest end of a part, 5 mm at most.",
            "joint-free": "Rods, tubes and glue that run across the joint are listed.",
            "bay-closed": "Area left open at the bay's end over that of the bay, 6 % at most.",
            "bay-end-plate": "Whether a plate of the sheet closes the bay there.",
            "bay-tube-entered": "Whether the tube that is called the wall of a bay stands among the items.",
            "bay-tube-covers": "Length of the bay inside that tube, over the bay's.",
            "bay-tube-wall": "Wall that the bay is said to have, over half of what the tube is wider outside"
            " than inside.",
        },
    ),
    HowFound(
        page="methods-inside",
        heading="Rail and buttons",
        told={
            "rail-clear": "Distance of the rail's face to every outline that passes it.",
            "rail-fins": "Distance of the rail to the nearest fin, over the fin's whole span.",
            "button-roots": "Distance of each button's foot to the nearest root of a fin.",
            "button-on-skin": "Whether the skin lies between axis and rail at each button.",
            "button-foot": "How far the skin rises or falls under the foot, over the button's diameter:"
            " 0.2 is a caution, 0.3 a no-go.",
            "button-reach": "Button's height less the rail's distance from the skin: 2 mm at least, three"
            " tenths of the rail's width at most.",
            "button-in-rail": "Diameter of a button over the width of its rail, 0.25 to 0.75.",
            "button-spacing": "Distance of the buttons, against a width or a third of the length, the less.",
            "buttons-and-balance": "Stations of the buttons less that of the balance point: the aft one"
            " behind it, the fore one no more than a quarter of the length behind it.",
            "button-test": "pull_out against 1.25 times the lesser of what the thread holds and a screw of"
            " class 8.8 bears (ISO 898-1, from memory).",
            "button-pull-out": "Pull on the harder pulled button, by levers about the balance point, of"
            " the wind at the end of the rail and of the weight on a leaning rail, against its screw, half"
            " again.",
            "standoff": "Distance of the rail from the skin, 0.1 m at most.",
            "guide": "Whether the sheet has rail buttons at all.",
            "buttons-across-joint": "Stations of the joints that come apart, against those of the buttons.",
        },
    ),
    HowFound(
        page="methods-inside",
        heading="Things as solids",
        told={
            "motor-held": "Length of the motor inside its tube, over the motor's.",
            "motor-play": "Bore of the tube less the motor's diameter, 0 to 3 mm; play over held length"
            " is the angle it may lean by.",
            "motor-bears": "Hole of the thrust plate less the motor's diameter, 6 mm at most.",
            "motor-at-plate": "Station of the motor's end less that of the plate's aft face, -2 to 25 mm.",
            "motor-room": "Room of the sheet against the run from the motor's aft end to what is next ahead.",
            "bay-tube-stuff": "Material of the bay's wall against that of the tube it is said to be.",
            "mass-and-size": "Mass over the solid's volume, against the densities of its material or kind.",
            "masses-and-sizes": "Mass over volume of every item that has both.",
            "motor-tube-weighed": "Whether the tube that holds the motor has a mass among items or parts.",
            "in-its-room": "How far an item's station lies outside the thing it is said to be in.",
        },
    ),
)
