"""The launch site's own file: height, ceiling, size, place."""

from pathlib import Path
from typing import Annotated

from pydantic import ValidationError

from finial.core.errors import BuildSheetError
from finial.core.units import Dimension, Quantity
from finial.files.faults import faults_from
from finial.files.fields import Measured, Name, Record, SomeLength
from finial.files.source import read_toml

_QUARTER_TURN_RAD = 1.5707963267948966


class Site(Record):
    """A field to fly from. ``field_radius`` is the distance from the pad to the field's edge."""

    name: Name
    note: str = ""
    ground_asl: Annotated[Quantity, Measured(dimension=Dimension.LENGTH, minimum=-500, maximum=9000)]
    ceiling_agl: SomeLength | None = None
    field_radius: SomeLength | None = None
    latitude: (
        Annotated[
            Quantity,
            Measured(dimension=Dimension.ANGLE, minimum=-_QUARTER_TURN_RAD, maximum=_QUARTER_TURN_RAD),
        ]
        | None
    ) = None
    longitude: (
        Annotated[
            Quantity,
            Measured(
                dimension=Dimension.ANGLE, minimum=-2 * _QUARTER_TURN_RAD, maximum=2 * _QUARTER_TURN_RAD
            ),
        ]
        | None
    ) = None


def read_site(path: Path) -> Site:
    """Read a site's TOML file.

    Raises
    ------
    BuildSheetError
        With all faults in it.
    """
    source = read_toml(path)
    try:
        return Site.model_validate(source.values)
    except ValidationError as error:
        raise BuildSheetError(faults_from(error, source, Site)) from error
