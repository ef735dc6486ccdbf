"""``--vary KIND:NAME:LOW:HIGH`` as a builder writes it."""

import click

from finial.core.dimensions import Dimension
from finial.core.errors import FinialError
from finial.core.units import parse_quantity
from finial.sizing.variables import BALLAST, CANOPY, COUNT, RAIL, SPAN, STATION, Variable

_DIMENSIONS = {
    BALLAST: Dimension.MASS,
    SPAN: Dimension.RATIO,
    STATION: Dimension.LENGTH,
    COUNT: Dimension.RATIO,
    RAIL: Dimension.LENGTH,
    CANOPY: Dimension.LENGTH,
}


def variables_of(written: tuple[str, ...]) -> tuple[Variable, ...]:
    """Read every option.

    Examples
    --------
    >>> variables_of(("span:fins:0.7:1.3",))[0].high
    1.3
    """
    return tuple(map(_variable, written))


def _variable(text: str) -> Variable:
    parts = [part.strip() for part in text.split(":")]
    if len(parts) != 4 or parts[0] not in _DIMENSIONS:
        kinds = ", ".join(_DIMENSIONS)
        raise click.UsageError(f'--vary "{text}": write KIND:NAME:LOW:HIGH with a kind of {kinds}')
    kind, name, low, high = parts
    try:
        ends = [parse_quantity(end, _DIMENSIONS[kind], minimum=0.0).value for end in (low, high)]
        return Variable(kind=kind, name=name, low=ends[0], high=ends[1])
    except FinialError as error:
        raise click.UsageError(f'--vary "{text}": {error}') from error
