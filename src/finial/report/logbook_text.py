"""What kept flights tell together, as a section of text."""

from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate, KnownBy
from finial.core.statistics import NINETY
from finial.logbook.several import NumberByAll, NumberTold
from finial.report.document import ReportSection, Table
from finial.report.shown import Shown

_WORDS: dict[NumberTold, str] = {
    "drag": "drag over the computed",
    "canopy": "drag area of {}",
    "delay": "{} out after its event",
    "height": "height of {}'s event",
    "centre": "centre of pressure, aft of the computed",
    "friction": "friction of the buttons on the rail",
}
_DIMENSIONS: dict[NumberTold, Dimension] = {
    "drag": Dimension.RATIO,
    "canopy": Dimension.AREA,
    "delay": Dimension.TIME,
    "height": Dimension.LENGTH,
    "centre": Dimension.LENGTH,
    "friction": Dimension.RATIO,
}


def logbook_section(joints: tuple[NumberByAll, ...], shown: Shown) -> ReportSection:
    """Set what each flight tells beside what they tell together, and where the next is expected."""
    flights = sorted({one.flight for joint in joints for one in joint.flights})
    return ReportSection(
        key="logbook",
        title=f"The logbook: {len(flights)} flights together",
        tables=(
            Table(
                title="",
                columns=("what", "by each flight", "their mean", "the next flight"),
                rows=tuple(_row(joint, shown) for joint in joints),
                numbers=(2, 3),
            ),
        ),
        notes=(
            "Intervals hold nine in ten. What goes into the sheet is the last column: how well the mean is"
            " known, and how far flights of this vehicle lie apart. Flights that are left out, and numbers"
            " that a later change made void, do not count.",
        ),
    )


def _row(joint: NumberByAll, shown: Shown) -> tuple[str, ...]:
    dimension, told = _DIMENSIONS[joint.what], joint.together
    each = "; ".join(
        f"{one.flight}: {shown.between(_about(one.told.value, one.told.sigma), dimension)}"
        for one in joint.flights
    )
    means = (_about(told.mean, sigma) for sigma in (told.mean_sigma, told.next_sigma))
    mean, following = (shown.between(one, dimension) for one in means)
    return _WORDS[joint.what].format(joint.canopy), each, mean, following


def _about(value: float, sigma: float) -> Estimate:
    return Estimate(
        value=value,
        low=value - NINETY * sigma,
        high=value + NINETY * sigma,
        known_by=KnownBy.MEASURED,
        method="logbook",
    )
