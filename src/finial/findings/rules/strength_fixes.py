"""The cheapest thing that helps, with a number where one is known."""

from finial.assemble.strength.results import ReserveRow

MOST_TIMES = 5.0
"""More of the same than this is no fix [-]; chosen."""
_MORE = 1.05
"""A little more than just enough [-]."""


def cheapest_fix(row: ReserveRow, limit: float) -> str:
    """Say what to change so that a reserve reaches its limit.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> weak = ReserveRow(what="nut pulls through its plate", case="", station_m=0.0, load="",
    ...     reserve=exact(0.75), rod_share=None)
    >>> cheapest_fix(weak, 1.5)
    'A plate 2.1 times as thick under the nuts.'
    """
    if row.reserve is None:
        return row.note
    if row.reserve.low <= 0:
        return row.note or "Change the layout: it cannot work as drawn."
    wanted = limit / row.reserve.low * _MORE
    power, text = next(
        ((power, text) for words, power, text in _FIXES if words in row.what),
        (1.0, "Walls {} times as thick, or a stronger plastic."),
    )
    factor = wanted**power
    if factor > MOST_TIMES and "{}" in text:
        return (
            f"{factor:.0f} times as much would be needed: another layout, a stronger plastic, or less heat."
        )
    return text.format(f"{factor:.1f}")


# Words of the way to fail, the power of the missing factor, what to say. The first that fits counts.
_FIXES: tuple[tuple[str, float, str], ...] = (
    ("thinner than the nozzle", 1.0, "A wall of whole lines: at least two nozzle widths."),
    (
        "wall wrinkles",
        1 / 3,
        "Walls {} times as thick, a rib amid each flat, or less preload if that squeezes most.",
    ),
    ("collapses after wrinkling", 0.5, "Walls {} times as thick, or a rib along the middle of each flat."),
    ("pulled apart across layers", 1.0, "Rods through and tightened, or walls {} times as thick."),
    ("sheared along its layers", 1.0, "Walls {} times as thick, or print it lying down."),
    ("wall crushed", 1.0, "Walls {} times as thick, or more rods."),
    ("joint opens", 1.0, "Preload {} times as high, set on the day, or glue the joint."),
    ("joint between parts", 1.0, "Glue, dowels or rods through."),
    ("rod pulled", 1.0, "Rods of {} times the section in all: one size up, or more of them."),
    ("rod buckles", 0.5, "Support the rods at {} times as many places."),
    ("strips in its nut", 1.0, "A nut {} times as high: a long nut or two."),
    ("washer sinks in", 0.5, "A washer {} times as wide."),
    ("nut without washer", 0.5, "A wide washer under each nut."),
    ("nut pulls through", 1.0, "A plate {} times as thick under the nuts."),
    ("thrust plate", 0.5, "A thrust plate {} times as thick, or one of metal or G10."),
    ("glue of the motor tube", 1.0, "A glued joint {} times as long, roughened and wiped."),
    ("root glue", 1.0, "Fillets or a slot {} times as deep, roughened and wiped."),
    ("motor retainer", 1.0, "{} times as many screws, or a screwed ring."),
    ("dowels", 1.0, "{} times as many dowels, or thicker ones."),
    ("flutter", 2 / 3, "Stays to the body, or fins {} times as thick; a stiffer sheet helps as much."),
    ("bows the fin out", 1.0, "Less preload, or anchors nearer abreast of the fin's tip."),
    ("goes slack", 1.0, "Preload {} times as high, or a thicker wire tied nearer the tip."),
    ("wire breaks", 0.5, "Wire {} times as thick, or swaged ends."),
    ("anchor pulls out", 1.0, "A plate behind the wall under each anchor."),
    ("bay wall", 1.0, "Line the bay with a round tube that takes the pressure; flat printed walls must not."),
    ("flat wall bends", 0.5, "Walls {} times as thick, or a rib along the middle of each flat."),
    (" break", 0.5, "Fins {} times as thick, or a shorter span."),
)
