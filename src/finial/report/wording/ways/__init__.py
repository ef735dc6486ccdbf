"""How the number of each check is found, and where to read the rest; one module a subject."""

from functools import cache

from finial.report.wording.ways import (
    air,
    electronics,
    flight,
    inside,
    range_safety,
    recovery,
    sheet,
    strength,
)
from finial.report.wording.ways.form import HowFound

WAYS = tuple(
    way
    for subject in (sheet, inside, air, strength, flight, recovery, electronics, range_safety)
    for way in subject.WAYS
)


def way_of(key: str) -> str:
    """Say how the number of a check is found.

    Examples
    --------
    >>> way_of("landing-energy").partition(",")[0]
    'E = m v^2 / 2 of each piece'
    """
    way = _by_key()[key]
    return f"{way.told[key]} More: docs/{way.page}.md, “{way.heading}”."


@cache
def _by_key() -> dict[str, HowFound]:
    return {key: way for way in WAYS for key in way.told}
