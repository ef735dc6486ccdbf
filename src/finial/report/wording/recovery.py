"""Canopies, charges, pins, cords and landing, by closed forms."""

from finial.report.wording.form import GROUND_TEST, Wording

WORDS = {
    "landing-speed": Wording(
        title="landing speed",
        why="Printed walls crack at the base, and a heavy part hurts whoever stands under it.",
        fixes={
            "larger-canopy": "It takes a drag area of {area}.",
            "limit-of-zero": "The sheet's own limit is 0: nothing lands at rest.",
            "enter-canopy": "Enter what brings it down under [[recovery.canopy]].",
        },
    ),
    "landing-energy": Wording(
        title="landing energy",
        why="What its fall gives to the ground, a car or a person when it lands in still air.",
        fixes={
            "larger-canopy": "It takes a drag area of {area}.",
            "limit-of-zero": "The sheet's own limit is 0: nothing lands at rest.",
            "enter-canopy": "Enter what brings it down under [[recovery.canopy]].",
        },
    ),
    "landing-energy-in-wind": Wording(
        title="landing energy of {case}, carried by the wind",
        why="The wind carries what falls, and its speed counts like that of the fall.",
        fixes={"less-wind": "The wind and the speed of the fall decide it."},
    ),
    "charge-opens": Wording(
        title="{name} opens {bay}",
        why=f"A charge that does not part the joint leaves the canopy inside. {GROUND_TEST}",
        limits={"": "parts the joint"},
        fixes={
            "enter-powder": "Enter the powder mass of {name}.",
            "more-push": f"It takes {{powder}} in {{name}}. {GROUND_TEST}",
        },
    ),
    "pack-leaves-bay": Wording(
        title="canopy can leave {name}",
        why="A canopy that stays in its bay is no canopy.",
        reasons={
            "loose": "The pack lies loose and slides by itself.",
            "by-hand": "The pack goes in by hand.",
            "pressed": "The pack must be pressed in.",
            "too-much": "The pack is more than the bay holds.",
            "squeezed": "Its mouth is narrower than the pack, which must squeeze through.",
        },
        limits={"": "packed by hand, out through a mouth as wide"},
        fixes={
            "longer-bay": "The pack takes a bay {room} long.",
            "wider-mouth": "The mouth is narrower than the pack; a push with a scale would show"
            " whether it comes.",
        },
    ),
    "charge-in-time": Wording(
        title="{name} at the moments of the canopies",
        why="What opens a bay lets its canopy out, whatever the canopy waits for.",
        limits={
            "": "at the moment of the canopy behind it, or soon after",
            "event": "a cord and both events",
        },
        reasons={
            "early": "It fires {lag} before {canopy} is due: that is when {canopy} comes out.",
            "never": "If it must do it alone, {lag} off the moment of {canopy}, the canopy is not open before"
            " the ground.",
            "late": "If it must do it alone, {lag} off the moment of {canopy}, this is the load.",
        },
        fixes={
            "set-event": "Give it the moment of {canopy}, or a second later; charge and igniter alike. A"
            " canopy for another moment wants a bay and a joint of its own."
        },
    ),
    "waits-for-height": Wording(
        title="{name} waits for its height",
        why="A computer set above the top of the flight lets it out at the top: it drifts all the way down.",
        limits={"": "top above {height} in every flight"},
        fixes={"below-the-top": "The height of {name} is not well below the top."},
    ),
    "joint-opener": Wording(
        title="what opens {name}",
        why="Its pins are in the sheet, but no charge is there to break them.",
        limits={"": "a charge in its bay"},
        fixes={"enter": "Enter the charge of {name}, or take its pins out if nothing opens it."},
    ),
    "backup-larger": Wording(
        title="{name} is larger than {first}",
        why=f"A backup that equals the charge which failed may fail the same way. {GROUND_TEST}",
        fixes={"more-powder": f"It takes {{powder}} in the backup. {GROUND_TEST}"},
    ),
    "pins-hold": Wording(
        title="pins of {name} hold until the charge",
        why="Pins that break early let drag or trapped air part the vehicle at speed.",
        reasons={"no-pins": "The sheet has no pins: friction alone holds it."},
        fixes={
            "pins": "The joint of {name} takes {count} x {screw}.",
            "more-pins": "It takes {count} x {screw}.",
        },
    ),
    "pins-straight": Wording(
        title="pins of {name}, counted",
        why="On one pin alone the joint tilts and jams before it parts.",
        fixes={"two": "It takes two pins, one across from the other."},
    ),
    "cord-separation": Wording(
        title="{name} against the separation",
        why="A cord that breaks drops one half without a canopy.",
        fixes={"stronger-cord": "It takes a cord that still holds {held} at its knots."},
    ),
    "opening-load": Wording(
        title="opening load of {name} against the cord",
        why="The canopy's opening snatch runs through the same cord.",
        limits={"": "a cord in the sheet"},
        fixes={
            "enter-cord": "Enter the cord under [[recovery.cord]].",
            "open-slower": "It takes cords that all hold {held} at their knots, or a canopy that"
            " opens slower.",
        },
    ),
    "brought-down": Wording(
        title="something brings it down",
        why="Without a canopy it comes down as fast as it can fall, on whoever stands there.",
        limits={"": "a canopy in the sheet"},
        fixes={
            "tell": "The sheet tells nothing of the recovery yet: enter joint, bay, canopy, cord and charge"
            " under [recovery].",
            "enter": "Enter what brings it down under [[recovery.canopy]].",
        },
    ),
    "cord-across-joint": Wording(
        title="a cord across {name}",
        why="Halves that part without a cord come down apart, and one of them without a canopy.",
        limits={"": "every joint that comes apart has a cord"},
        fixes={"enter": 'Enter the cord under [[recovery.cord]] with joint = "{name}".'},
    ),
    "cord-ends": Wording(
        title="{name} tied ahead of {joint} and behind it",
        why="It is tied to {fore} and to {aft}. With both ends in one half, the other half comes down alone.",
        limits={"": "its fore end ahead of the joint, its aft end behind it"},
        fixes={
            "retie": "Tie one end of {name} in each half, and say so, the fore end first: tied_to under"
            " [[recovery.cord]]."
        },
    ),
    "canopy-lines": Wording(
        title="lines of {name} over its diameter",
        why="On short lines the mouth is pulled together: it opens late, in part, or not at all; long ones"
        " tangle.",
        fixes={"measure": "Measure line_length of {name} from hem to knot; for such lines, a drop test."},
    ),
    "protector": Wording(
        title="a protector for {name}",
        why="Without one the flame of the charge reaches the cloth, and the canopy comes out with holes.",
        limits={"": "between the charge and the canopy"},
        fixes={"enter": "Put a protector between charge and {name}, and enter its mass as protector."},
    ),
    "pack-size": Wording(
        title="pack of {name} in the size given",
        why="Cloth pressed to less room than this does not unfold, or the size is not that of the pack.",
        limits={"": "packed by hand, {most} at most"},
        fixes={"measure": "Pack it and measure: packed_length, packed_across and mass of {name}."},
    ),
    "canopy-cloth": Wording(
        title="cloth of {name}",
        why="With its lines it weighs {grams} g/m2; outside the usual, mass or diameter is another canopy's.",
        limits={"": "20 to 600 g/m2, 0.6 to 18 oz/yd2"},
        fixes={"weigh": "Weigh {name} with its lines, and measure it: mass and diameter."},
    ),
    "canopy-drag": Wording(
        title="drag coefficient of {name} on all its cloth",
        why="Counted on a smaller area than the cloth it looks larger than it is, and so does the canopy.",
        fixes={"look": "Find out which area the number counts on; or drop it with a load: drop_test."},
    ),
    "bay-wall-stuff": Wording(
        title="wall of {name} against the flame of its charge",
        why="Its gas is hot for a moment, and strikes: {stuff}.",
        limits={"": "card, glass or phenolic tube, metal"},
        reasons={
            "splinters": "That breaks into splinters at a blow.",
            "softens": "That softens where gas plays on it, shot by shot.",
        },
        fixes={"liner": "A liner of card or glass tube takes the flame. " + GROUND_TEST},
    ),
    "protector-covers": Wording(
        title="protector of {name}, as large as its mass allows",
        why="Cloth that does not reach round the pack lets the flame at it.",
        fixes={"larger": "The cloth has to wrap the pack and cover its end."},
    ),
    "charge-roles": Wording(
        title="charges of {name} know their part",
        why="Two charges at one moment in one bay push together; a backup comes later.",
        limits={"": "one first charge for each moment"},
        fixes={
            "say": "Of {charges} say which stands in for which, with backup_of, or give them bays or"
            " moments of their own."
        },
    ),
    "shoulder": Wording(
        title="overlap of {name}",
        why="A short overlap lets the joint bend and the gas out; a charge was sized for a joint that seals.",
        limits={"told": "half a diameter of the bay"},
        fixes={
            "enter": "Measure how far the two sides of {name} overlap and enter it as shoulder.",
            "longer": "It takes an overlap of {usual}.",
        },
    ),
    "own-odds": Wording(
        title="the sheet's own odds that a canopy is lost",
        why="What stays in its bay or in its bundle comes down as fast as it can fall.",
        limits={"none": "none entered under [scatter]: those of its kind are taken"},
        fixes={"mend": "Find out why canopies stay in or bundled, and mend that before it flies again."},
    ),
    "pull-test-cord": Wording(
        title="pull test of the lip of {name}",
        why="{cord} would have torn before the lip did: the test was made with another cord, or misread.",
        fixes={"look": "Repeat it with {cord}, and enter the tension at which lip or cord gave way."},
    ),
    "cord-mass": Wording(
        title="mass of {name} for its strength",
        why="A mass that belongs to another cord moves pack and balance.",
        limits={"": "0.01 to 2.2 N/tex, as fibres hold", "told": "its mass for each length"},
        fixes={
            "weigh": "It would hold {holds} N/tex: weigh a length of {name}, or name the cord that it is.",
            "enter": "Weigh a length of {name} and enter it as mass_per_length.",
        },
    ),
    "bay-opener": Wording(
        title="what opens {name}",
        why="A canopy in a bay that nothing opens stays there.",
        limits={"": "a charge in its bay"},
        fixes={"enter": "Enter the charge of {name} under [[recovery.charge]]."},
    ),
    "ground-test": Wording(
        title="{name} fired on the ground",
        why="No formula knows this joint, this pack and these pins; a shot on the ground does.",
        limits={"": "a shot with no more powder that parted the joint, none with as much that did not"},
        fixes={
            "test": f"Fire it on the ground and enter the shot as ground_test. {GROUND_TEST}",
            "test-less": f"The shots that parted it had more powder: fire it as it flies. {GROUND_TEST}",
            "test-more": "The shots that parted it had less than half its powder: were the pins in? Fire it"
            f" as it flies. {GROUND_TEST}",
            "failed": "A shot with as much powder left the joint shut. One from before pins or pack changed"
            f" says nothing and does not belong in the sheet. {GROUND_TEST}",
        },
    ),
}
