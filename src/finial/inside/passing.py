"""What may pass through what on purpose."""

from finial.inside.things import Kind, Thing

_GOES_THROUGH = {
    Kind.ROD: frozenset({Kind.BULKHEAD}),
    Kind.SCREW: frozenset({Kind.BULKHEAD, Kind.TUBE, Kind.MOTOR_TUBE, Kind.PACK}),
    Kind.EYE: frozenset({Kind.PACK}),
}
"""Rods run along the vehicle, so a tube's wall is no place for one; cloth gives way to an eye bolt."""


def may_share(first: Thing, second: Thing) -> bool:
    """Tell whether two things may take the same room on purpose.

    A rod goes through plates, a screw through plates and tubes, which are drilled for it; an eye bolt
    sinks into cloth; a pack lies in its bay; and what the sheet says passes, passes. Nothing else:
    not even a rod through ballast, unless the sheet says so.

    Parameters
    ----------
    first, second : Thing
        The two, in either order.

    Returns
    -------
    may : bool
        True if they may.

    Notes
    -----
    A rule by what things are for; how well they fit is not looked at.

    References
    ----------
    .. [1] Common practice of building.

    Examples
    --------
    >>> rod = Thing(name="rod", kind=Kind.ROD, middle_m=0.5, length_m=0.9, across_m=0.008)
    >>> plate = Thing(name="plate", kind=Kind.BULKHEAD, middle_m=0.3, length_m=0.006, across_m=0.08)
    >>> may_share(rod, plate), may_share(plate, plate)
    (True, False)
    """
    return any(_lets(one, other) for one, other in ((first, second), (second, first)))


def _lets(one: Thing, other: Thing) -> bool:
    if other.name in one.passes or one.lies_in == other.name:
        return True
    if other.kind in _GOES_THROUGH.get(one.kind, frozenset()):
        return True
    return one.kind is other.kind is Kind.PACK and bool(one.lies_in) and one.lies_in == other.lies_in
