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
            "both-planes": "All fins together hold in one plane alone: give the other plane a pair too.",
            "no-force": "{name} carry no force: is the root inside the body, or the outline without span?",
        },
    ),
    "clean-air": Wording(
        title="{name} in clean air",
        why="A fin in the dead air behind a step pulls less than its size promises.",
        fixes={"out-of-dead-air": "Longer span, or fins further from the step ahead of them."},
    ),
}
