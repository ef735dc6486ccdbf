"""``--vary KIND:NAME:LOW:HIGH`` as a builder writes it; of what is chosen, the choices."""

from pathlib import Path

import click

from finial.assemble.vehicle.levers import CHOICES
from finial.core.errors import FinialError
from finial.core.units import parse_quantity
from finial.sizing.motors import motor_choice
from finial.sizing.variables import DIMENSIONS, MOTOR, Variable, choosing


def variables_of(written: tuple[str, ...], beside: Path = Path()) -> tuple[Variable, ...]:
    """Read every option; folders of motors are sought beside the sheet.

    Examples
    --------
    >>> variables_of(("span:fins:0.7:1.3",))[0].high
    1.3
    >>> variables_of(("thread:rods:M6,M8",))[0].choices
    ('M6', 'M8')
    """
    return tuple(_variable(text, beside) for text in written)


def _variable(text: str, beside: Path) -> Variable:
    kind, *parts = [part.strip() for part in text.split(":")]
    how = {MOTOR: ("FOLDER", 1), **dict.fromkeys(CHOICES.keys() - {MOTOR}, ("NAME:ONE,OTHER,...", 2))}
    rest, count = how.get(kind, ("NAME:LOW:HIGH", 3))
    if len(parts) != count or kind not in {*DIMENSIONS, *CHOICES}:
        kinds = ", ".join((*DIMENSIONS, *CHOICES))
        said = f"{kind if kind in how else 'KIND'}:{rest} with a kind of {kinds}"
        raise click.UsageError(f'--vary "{text}": write {said}')
    try:
        if kind == MOTOR:
            return motor_choice(Path(parts[0]), beside)
        if kind in CHOICES:
            return choosing(kind, parts[0], [one.strip() for one in parts[1].split(",")])
        low, high = (parse_quantity(end, DIMENSIONS[kind], minimum=0.0).value for end in parts[1:])
        return Variable(kind=kind, name=parts[0], low=low, high=high)
    except FinialError as error:
        raise click.UsageError(f'--vary "{text}": {error}') from error
