"""Changes of a sheet in words: what is written for whom, the same for several said once."""

import re
from collections import defaultdict
from collections.abc import Mapping, Sequence

_NAMED = 2
"""Of so many and one more all are named; of more than that, so many."""


def place_words(typed: Mapping[str, str], names: Mapping[str, str]) -> tuple[str, ...]:
    """Say what is typed at places of a sheet; ``names`` has the name of each entry by its place.

    Examples
    --------
    >>> names = {"part[1]": "tower", "part[2]": "lantern", "part[3]": "cap", "part[4]": "foot"}
    >>> place_words({f"part[{one}].print.wall": "3 mm" for one in range(1, 5)}, names)
    ('print wall of tower, lantern and 2 more = 3 mm',)
    >>> place_words({"part[2].tiers[1].across_top": "9 mm", "vehicle.colour": "white"}, names)
    ('tiers 1 across top of lantern = 9 mm', 'vehicle colour = white')
    """
    alike: dict[tuple[str, str], list[str]] = defaultdict(list)
    for place, text in typed.items():
        name, rest = _whose(place, names)
        alike[" ".join(re.findall(r"\w+", rest.replace("_", " "))), text].append(name)
    return tuple(f"{what}{_of(whose)} = {text}" for (what, text), whose in alike.items())


def _whose(place: str, names: Mapping[str, str]) -> tuple[str, str]:
    """Name of the innermost entry that a place lies in, and the rest of the place."""
    entries = [place[: found.end()] for found in re.finditer(r"\]", place)]
    entry = next((one for one in reversed(entries) if one in names), None)
    return ("", place) if entry is None else (names[entry], place[len(entry) :])


def _of(whose: Sequence[str]) -> str:
    told = [name for name in whose if name]
    if not told:
        return ""
    if len(told) > _NAMED + 1:
        told = [", ".join(told[:_NAMED]), f"{len(told) - _NAMED} more"]
    return f" of {', '.join(told[:-1])} and {told[-1]}" if len(told) > 1 else f" of {told[0]}"
