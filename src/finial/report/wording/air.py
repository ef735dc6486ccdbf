"""Fins and crooked shapes in the air."""

from finial.report.wording.form import Wording

WORDS = {
    "fins": Wording(
        title="fins",
        why="A body without fins, or with fins buried in it, has nothing to hold its tail behind its tip.",
        limits={
            "": "some fins",
            "force": "fins that carry force",
            "both-planes": "fins that hold in both planes",
        },
        fixes={
            "enter": "Enter the fins under [[fin]], if there are any; fins drawn into a mesh are found by"
            " themselves.",
            "both-planes": "All fins together hold in one plane alone: the other has none.",
            "no-force": "{name} carry no force: their root is inside the body, or their outline has no span.",
        },
    ),
    "tunnel-study": Wording(
        title="study of the tunnel",
        why="Loads that were read of another shape say nothing of this one, and are not used.",
        limits={
            "this-shape": "runs of this very shape",
            "enough": "runs of it on two grids, the fine one of at least 10 cells to a width, at every roll"
            " that its symmetry needs, with clear forces",
        },
        fixes={
            "blow-again": "Run `finial tunnel` with this sheet, or take `study` out of [air].",
            "blow-more": "Run `finial tunnel` with this sheet again without --roll, with more --cells, larger"
            " angles or longer --travel, or take `study` out of [air].",
        },
    ),
    "tunnel-agrees": Wording(
        title="tunnel and sections",
        why="Where two ways to the centre of pressure part, one of them is wrong, and nothing says which.",
        reasons={"apart": "They part by {apart} at {angle}, with the wind to roll {roll}."},
        limits={"meet": "intervals that meet"},
        fixes={
            "finer": "`finial air` says which stretch of the body parts them; more --cells blow it finer."
        },
    ),
    "own-drag": Wording(
        title="drag by [{name}], over what it goes before",
        why="The drag computed of this shape is known to {computed} of its middle: where the two part, one is"
        " wrong.",
        fixes={
            "look": "Look at the numbers under [{name}]: are they of this shape, and on that area?"
            " Without them the computed drag is flown."
        },
    ),
    "own-centre": Wording(
        title="centre of pressure by [{name}], off what it goes before",
        why="By [{name}] it lies at {own} from the tip, as computed of this shape at {computed}: where the"
        " two part, one is wrong.",
        fixes={
            "look": "Look at the numbers under [{name}]: are they of this shape, with stations from its tip?"
            " Without them the computed centre is flown."
        },
    ),
    "clean-air": Wording(
        title="{name} in clean air",
        why="A fin in the dead air behind a step pulls less than its size promises.",
        fixes={"out-of-dead-air": "Their span ends in the air that the step ahead of them slows."},
    ),
}
