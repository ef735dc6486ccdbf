"""A thing in its place, and what was taken of it where the sheet says nothing."""

from dataclasses import dataclass, field

from finial.assemble.inside.results import Size, Taken
from finial.core.estimates import Estimate, KnownBy, exact
from finial.inside.things import Thing


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """A thing, and the same as it would be at both ends of a density that nobody gave."""

    thing: Thing
    others: tuple[Thing, ...] = ()
    taken: tuple[Taken, ...] = field(default=())
    _hash: int = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        """Hash it once, by the thing itself: each is looked for with every other."""
        object.__setattr__(self, "_hash", hash(self.thing))

    def __hash__(self) -> int:
        """Tell it apart by the thing itself."""
        return self._hash


def taken_size(thing: str, size: Size, value_m: float, room: Estimate | None = None) -> Taken:
    """Return a length that was taken; as wide as the room it came from.

    Parameters
    ----------
    thing : str
        Name of the thing.
    size : Size
        Which of its lengths.
    value_m : float
        The length [m].
    room : Estimate, optional
        What it came from [m^3].
    """
    if room is None or room.value == 0.0:
        return Taken(thing=thing, size=size, value=exact(value_m, known_by=KnownBy.ASSUMED))
    value = Estimate(
        value=value_m,
        low=value_m * room.low / room.value,
        high=value_m * room.high / room.value,
        known_by=room.known_by,
        method="mass over density",
    )
    return Taken(thing=thing, size=size, value=value)
