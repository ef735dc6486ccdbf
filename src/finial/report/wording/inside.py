"""It fits: what stands where, how it gets there, and whether it clears its rail."""

from finial.report.wording.form import Wording

_GIVE = "The size of {name} or of {other} was taken from mass and density: enter it."
WORDS = {
    "same-room": Wording(
        title="{name} and {other} in one place at {at}",
        why="They take the same room, {deep} deep: it cannot be assembled.",
        limits={"": "room for both"},
        fixes={
            "move-or-shrink": "They stand {deep} deep in one another; where one is meant to pass the"
            " other, passes says so.",
            "give-size": _GIVE,
        },
    ),
    "into-print": Wording(
        title="{name} in the print of {other} at {at}",
        why="It stands {deep} deep in wall or infill: there is no room for it.",
        limits={"": "room that is drawn or said"},
        fixes={
            "make-room": "Its room is {deep} short; a hole that is not drawn is said under bores.",
            "give-size": _GIVE,
        },
    ),
    "out-of-skin": Wording(
        title="{name} out of the skin of {other} at {at}",
        why="It sticks {deep} out of the shape, into the air.",
        limits={"": "inside the skin"},
        fixes={
            "move-in": "It is inside once it stands {deep} further in.",
            "give-size": _GIVE,
        },
    ),
    "all-clear": Wording(
        title="everything inside has its room",
        why="What stands in something else's place is found with glue on the hands.",
        limits={"": "no two of {count} things in one place", "closed": "meshes whose cuts close"},
        fixes={"close": "The mesh of {parts} is not closed there: such a cut counts as full."},
    ),
    "gets-in": Wording(
        title="{name} gets into its place",
        why="Each thing must reach its place through an end or a side of its part that is open by then.",
        limits={"": "an open way into {part}"},
        fixes={
            "open": "The way into {part} is {short} too narrow at {station}. A wider way, a split part or a"
            ' window is drawn; a pause of the print is put_in = "while printing".'
        },
    ),
    "all-get-in": Wording(
        title="everything gets into its place",
        why="Each thing must reach its place through an end or a side of its part that is open by then.",
        limits={"": "an open way for each"},
    ),
    "motor-goes-in": Wording(
        title="{name} goes into its mount",
        why="It is loaded on the field, when everything else is in its place.",
        limits={"": "a way in from the base or a joint"},
        fixes={"clear-way": "{blocker} is in its way at {at}."},
    ),
    "canopy-way-out": Wording(
        title="way of {name} out through {opening}",
        why="What leaves by charge must pass what stays; the pack, measured or as by hand, needs {needed}.",
        fixes={"widen": "{blocker} narrows the way at {at}."},
    ),
    "sled-reached": Wording(
        title="{name} can be reached",
        why="It is armed, and its batteries changed, when the vehicle is built.",
        limits={"": "a way out through a joint, the base or parts that are only clamped"},
        fixes={"clear-way": "{blocker} is in its way at {at}, and no hatch is drawn."},
    ),
    "plate-placed": Wording(
        title="place of the thrust plate",
        why="A plate that stands nowhere is met by nothing: motor, rods and walls may be in its way.",
        limits={"": "a station for the thrust plate"},
        fixes={"place": "Give thrust_plate its station, the middle of its thickness."},
    ),
    "held": Wording(
        title="what holds {name}",
        why="It touches nothing: under thrust and at the pull of the cord it strikes what stands in its way.",
        limits={"touches": "something that it touches, or that the sheet says holds it"},
        reasons={
            "thick-glue": "Glue holds what its table says in a line of {thick} at most.",
            "out-of-reach": "What the sheet says holds it stands out of its reach.",
        },
        fixes={
            "say": "Say what holds {name}: held_by with the names of parts or things, glue, holds by test, or"
            " passes; or give it a seat that it touches."
        },
    ),
    "nut-reached": Wording(
        title="nut of {name}, within reach",
        why="In {part} print stands all round it: nobody can put it there, or tighten it.",
        limits={"": "a hole to it, drawn or under bores, or a counterbore no deeper than usual"},
        fixes={"way": "The end of {name} stands in the print of {part}, with no hole to it."},
    ),
    "nuts-reached": Wording(
        title="nuts of rods can be reached",
        why="What cannot be put in place and tightened clamps nothing.",
        limits={"": "a hole to each, or a counterbore no deeper than usual"},
    ),
    "all-held": Wording(
        title="everything inside is held",
        why="What is loose under thrust strikes what stands in its way.",
        limits={"": "a neighbour that each touches, or that the sheet says holds it"},
    ),
    "sled-placed": Wording(
        title="place of the electronics",
        why="Computers and batteries take room, and must be reached.",
        limits={"": "a sled with its place, for each that computers name"},
        fixes={"place": 'Enter it as an item with kind = "sled" and its size.'},
    ),
    "sizes-given": Wording(
        title="sizes of what is inside",
        why="Where no size is given the room comes from mass and an assumed density.",
        limits={"": "sizes, or materials, of all"},
        fixes={"give": "Enter size or material of {things}."},
    ),
    "loose-pieces": Wording(
        title="share of small pieces without a place",
        why="What has no place is not looked at for room.",
        fixes={"place": "Enter what is heavy as items of their own, with their sizes."},
    ),
    "bay-room": Wording(
        title="free volume of {name}",
        why="A charge weighed for another room opens nothing, or bursts the bay. Empty it holds {empty}.",
        limits={
            "": "the sheet's {said}, within a fifth or so",
            "computed": "from its tube less its contents",
            "holds": "room for what lies in it",
        },
        fixes={
            "enter": "Enter the computed one, or mend the size of the bay.",
            "larger": "Its contents alone are more than it holds.",
        },
    ),
    "canopy-in-bay": Wording(
        title="{name} in {bay}",
        why="It lies {beyond} beyond the bay, where the charge does not push it.",
        limits={"": "within the bay"},
        fixes={"into-bay": "Its station has to lie in the bay, by {beyond} from where it is."},
    ),
    "wall-as-drawn": Wording(
        title="wall of {name} as drawn",
        why="At {station} the mesh is thinner than the wall that strength and mass count on.",
        fixes={"thicker": "The mesh has it thinner than print says."},
    ),
    "fin-root": Wording(
        title="root of {name} on the skin",
        why="Where the root floats off the skin, at worst at {station}, nothing holds it.",
        fixes={
            "follow-skin": "The root does not lie on the skin: root, a tab or a slot into the wall, or"
            " another station decides that."
        },
    ),
    "joint-between-parts": Wording(
        title="{name} between two parts",
        why="What comes apart must be two parts: inside one part there is nothing to part.",
        fixes={"split": "A joint lies where two meshes meet."},
    ),
    "joint-free": Wording(
        title="nothing ties {name}",
        why="A joint that rods or glue hold does not open.",
        limits={"": "neither rods nor glue across it"},
        fixes={
            "shorten": "{ties} run through it.",
            "not-glued": "The part ahead says glued = true, to the one behind.",
        },
    ),
    "rail-clear": Wording(
        title="rail clear of the body",
        why="The vehicle slides along the rail standing off by its buttons: a ledge in its way stops it.",
        limits={"buttons": "rail buttons in the sheet"},
        fixes={
            "farther": "At {station} the shape stands {short} into the rail.",
            "enter": "Enter the buttons under [guide].",
        },
    ),
    "rail-fins": Wording(
        title="rail clear of the fins",
        why="A fin that meets the rail tears off, or turns the vehicle.",
        limits={"none": "no fin beside it"},
        fixes={"turn": "Buttons and {name} stand at the same roll angle, or near it."},
    ),
    "button-roots": Wording(
        title="rail buttons clear of fin roots",
        why="Where a fin stands no button can.",
        limits={"none": "no fin root beside them"},
        fixes={"turn": "The button at {station} stands on the root of {name}."},
    ),
    "button-on-skin": Wording(
        title="rail buttons on the skin",
        why="A button holds only where there is something to screw it to.",
        limits={"": "skin behind every button"},
        fixes={
            "onto-skin": "At {station} there is no skin behind the button: at and aside say where it stands."
        },
    ),
    "button-foot": Wording(
        title="skin uneven under the foot of a rail button",
        why="A button stands on its foot: on a ledge, an edge or a steep slope it tips, and pulls its screw"
        " out.",
        limits={"": "skin under its foot"},
        fixes={
            "flatter": "The skin under the button at {station} is not flat, and no foot is printed for it."
        },
    ),
    "button-reach": Wording(
        title="how deep a rail button reaches into its rail",
        why="A button that ends short of the rail does not hold on to it, one too long jams in its slot.",
        limits={"usual": "as deep as is usual: no height under [guide]"},
        fixes={"other": "A try in the rail by hand tells; height and rail_from_axis under [guide] say it."},
    ),
    "button-in-rail": Wording(
        title="diameter of a button over the width of its rail",
        why="A button too wide does not go into the slot, one too narrow slips out of it: the vehicle leaves"
        " the rail before its speed holds it.",
        limits={"usual": "both taken as is usual"},
        fixes={"other": "A try in the rail by hand tells; across and rail_width under [guide] say it."},
    ),
    "button-spacing": Wording(
        title="rail buttons apart",
        why="Buttons close together let the vehicle lean on the rail, and pull on their screws.",
        fixes={"apart": "Buttons usually stand one near the balance point, one near the base."},
    ),
    "buttons-and-balance": Wording(
        title="rail buttons about the balance point",
        why="Hung ahead of its balance point by both, it tips over its buttons in the wind and under thrust.",
        limits={"aft-behind": "the aft button behind the balance point"},
        fixes={
            "aft-of-balance": "The aft button usually stands near the base, behind the balance point.",
            "fore-near-balance": "The fore button usually stands near the balance point.",
        },
    ),
    "button-test": Wording(
        title="buttons by test, against their screw",
        why="A test of another screw, another wall or in another unit says nothing of these.",
        limits={
            "none": "a test of such a screw in such a wall",
            "screw": "screw and engagement beside pull_out",
        },
        fixes={
            "look": "Thread and screw hold no more by the tables: compare unit, screw and wall of the test.",
            "enter": "Enter screw and engagement under [guide] too: the test is then held against them.",
        },
    ),
    "shape-and-things": Wording(
        title="the shape, and the things that stand in it",
        limits={"": "a shape that the things have room in"},
        reasons={"many": "{count} things at once have no room: each was hardly put in the wrong place."},
        fixes={
            "outside": "{parts} is said not to be seen by the air: outside = false takes it off the skin, and"
            " what stands in it is left outside.",
            "turn": 'Look first at up = "{up}" under [vehicle], then at mesh_unit and at missing parts:'
            " what follows goes once the shape stands as it was drawn.",
        },
    ),
    "button-pull-out": Wording(
        title="rail buttons hold",
        why="Wind as it leaves, and its weight on a leaning rail, pull at one button: {load}.",
        limits={"screw": "screw and engagement, or pull_out by test"},
        fixes={
            "deeper": "Depth and thickness of the screw, a nut or an insert behind it, the"
            " buttons' distance and the wind decide it.",
            "enter": "Enter screw and engagement, or pull_out, under [guide].",
        },
    ),
}
