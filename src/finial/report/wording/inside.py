"""It fits: what stands where, how it gets there, and whether it clears its rail."""

from finial.report.wording.form import Wording

_GIVE = "The size of {name} or of {other} was taken from mass and density: enter it."
WORDS = {
    "same-room": Wording(
        title="{name} and {other} in one place at {at}",
        why="They take the same room, {deep} deep: it cannot be assembled.",
        limits={"": "room for both"},
        fixes={
            "move-or-shrink": "Move one of them by {deep}, or make it that much smaller; or say that one"
            " passes the other, where that is meant.",
            "give-size": _GIVE,
        },
    ),
    "into-print": Wording(
        title="{name} in the print of {other} at {at}",
        why="It stands {deep} deep in wall or infill: there is no room for it.",
        limits={"": "room that is drawn or said"},
        fixes={
            "make-room": "Draw a hole in the mesh, say one under bores, or move or shrink {name} by {deep}.",
            "give-size": _GIVE,
        },
    ),
    "out-of-skin": Wording(
        title="{name} out of the skin of {other} at {at}",
        why="It sticks {deep} out of the shape, into the air.",
        limits={"": "inside the skin"},
        fixes={
            "move-in": "Move {name} in by {deep}, or make it smaller.",
            "give-size": _GIVE,
        },
    ),
    "all-clear": Wording(
        title="everything inside has its room",
        why="What stands in something else's place is found with glue on the hands.",
        limits={"": "no two of {count} things in one place", "closed": "meshes whose cuts close"},
        fixes={"close": "Close the mesh of {parts}: where a cut does not close, the print counts as full."},
    ),
    "gets-in": Wording(
        title="{name} gets into its place",
        why="Each thing must reach its place through an end or a side of its part that is open by then.",
        limits={"": "an open way into {part}"},
        fixes={
            "open": "The way into {part} is {short} too narrow at {station}: widen it, split the part,"
            ' draw a window, or pause the print and say put_in = "while printing".'
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
        fixes={
            "clear-way": "{blocker} is in its way at {at}: take it out of the way, or make its hole wider."
        },
    ),
    "canopy-way-out": Wording(
        title="way of {name} out through {opening}",
        why="What leaves by charge must pass what stays; the pack, measured or as by hand, needs {needed}.",
        fixes={"widen": "{blocker} narrows the way at {at}: move it, widen it, or make the pack smaller."},
    ),
    "sled-reached": Wording(
        title="{name} can be reached",
        why="It is armed, and its batteries changed, when the vehicle is built.",
        limits={"": "a way out through a joint, the base or parts that are only clamped"},
        fixes={
            "clear-way": "{blocker} is in its way at {at}: draw a hatch in the mesh, or let the parts beside"
            " it come apart."
        },
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
        fixes={
            "say": "Say what holds {name}: held_by with the names of parts or things, glue, holds by test, or"
            " passes; or give it a seat that it touches."
        },
    ),
    "all-held": Wording(
        title="everything inside is held",
        why="What is loose under thrust strikes what stands in its way.",
        limits={"": "a neighbour that each touches, or that the sheet says holds it"},
    ),
    "sled-placed": Wording(
        title="place of the electronics",
        why="Computers and batteries take room, and must be reached.",
        limits={"": "a sled with its place"},
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
            "larger": "Its contents alone are more than it holds: a larger bay, or less in it.",
        },
    ),
    "canopy-in-bay": Wording(
        title="{name} in {bay}",
        why="It lies {beyond} beyond the bay, where the charge does not push it.",
        limits={"": "within the bay"},
        fixes={"into-bay": "Move its station into the bay, or mend the bay's stations."},
    ),
    "wall-as-drawn": Wording(
        title="wall of {name} as drawn",
        why="At {station} the mesh is thinner than the wall that strength and mass count on.",
        fixes={"thicker": "Draw it thicker, or enter the wall as it is drawn."},
    ),
    "fin-root": Wording(
        title="root of {name} on the skin",
        why="Where the root floats off the skin, at worst at {station}, nothing holds it.",
        fixes={
            "follow-skin": "Give root the distance of the skin there, a tab or a slot that reaches into the"
            " wall, or a flatter place."
        },
    ),
    "joint-between-parts": Wording(
        title="{name} between two parts",
        why="What comes apart must be two parts: inside one part there is nothing to part.",
        fixes={"split": "Split the mesh there, or move the joint to the end of a part."},
    ),
    "joint-free": Wording(
        title="nothing ties {name}",
        why="A joint that rods or glue hold does not open.",
        limits={"": "neither rods nor glue across it"},
        fixes={
            "shorten": "{ties} run through it: end them on one side.",
            "not-glued": "The part ahead is glued to the one behind: take glued = true out.",
        },
    ),
    "rail-clear": Wording(
        title="rail clear of the body",
        why="The vehicle slides along the rail standing off by its buttons: a ledge in its way stops it.",
        limits={"buttons": "rail buttons in the sheet"},
        fixes={
            "farther": "At {station} the shape stands {short} into the rail: longer standoffs"
            " (rail_from_axis), or another side.",
            "enter": "Enter the buttons under [guide].",
        },
    ),
    "rail-fins": Wording(
        title="rail clear of the fins",
        why="A fin that meets the rail tears off, or turns the vehicle.",
        limits={"none": "no fin beside it"},
        fixes={"turn": "Turn the buttons or {name} to another roll angle."},
    ),
    "button-roots": Wording(
        title="rail buttons clear of fin roots",
        why="Where a fin stands no button can.",
        limits={"none": "no fin root beside them"},
        fixes={"turn": "Move the button at {station} off the root of {name}."},
    ),
    "button-on-skin": Wording(
        title="rail buttons on the skin",
        why="A button holds only where there is something to screw it to.",
        limits={"": "skin behind every button"},
        fixes={
            "onto-skin": "At {station} there is no skin behind the button: move it, or mend at and aside."
        },
    ),
    "button-foot": Wording(
        title="skin uneven under the foot of a rail button",
        why="A button stands on its foot: on a ledge, an edge or a steep slope it tips, and pulls its screw"
        " out.",
        limits={"": "skin under its foot"},
        fixes={
            "flatter": "Move the button at {station} to a flatter place, away from the ledge, or print a foot"
            " for it into the mesh."
        },
    ),
    "button-reach": Wording(
        title="how deep a rail button reaches into its rail",
        why="A button that ends short of the rail does not hold on to it, one too long jams in its slot.",
        limits={"usual": "as deep as is usual: no height under [guide]"},
        fixes={"other": "Try it in the rail by hand; then mend height or rail_from_axis under [guide]."},
    ),
    "button-in-rail": Wording(
        title="diameter of a button over the width of its rail",
        why="A button too wide does not go into the slot, one too narrow slips out of it: the vehicle leaves"
        " the rail before its speed holds it.",
        limits={"usual": "both taken as is usual"},
        fixes={"other": "Try a button in the rail by hand; then mend across or rail_width under [guide]."},
    ),
    "button-spacing": Wording(
        title="rail buttons apart",
        why="Buttons close together let the vehicle lean on the rail, and pull on their screws.",
        fixes={"apart": "Set them farther apart: one near the balance point, one near the base."},
    ),
    "buttons-and-balance": Wording(
        title="rail buttons about the balance point",
        why="Hung ahead of its balance point by both, it tips over its buttons in the wind and under thrust.",
        limits={"aft-behind": "the aft button behind the balance point"},
        fixes={
            "aft-of-balance": "Move the aft button behind the balance point, near the base.",
            "fore-near-balance": "Move the fore button near the balance point.",
        },
    ),
    "button-pull-out": Wording(
        title="rail buttons hold",
        why="Wind as it leaves, and its weight on a leaning rail, pull at one button: {load}.",
        limits={"screw": "screw and engagement, or pull_out by test"},
        fixes={
            "deeper": "A deeper or thicker screw, a nut or an insert behind it, buttons farther apart, or"
            " less wind.",
            "enter": "Enter screw and engagement, or pull_out, under [guide].",
        },
    ),
}
