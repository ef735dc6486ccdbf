"""The launch site's own file: height, ceiling, size, place."""

from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Literal

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import BuildSheetError
from finial.core.units import Dimension, Quantity
from finial.files.faults import read_record
from finial.files.fields import FileName, Measured, Name, Record, SomeLength, Text
from finial.files.geojson import Mark, read_field, read_marks
from finial.files.inside import file_inside
from finial.files.source import TomlSource

_QUARTER_TURN_RAD = 1.5707963267948966


class Site(Record):
    """A field to fly from."""

    name: Name
    """What the field is called."""
    note: Text = ""
    """For whoever opens the file; nothing is computed from it."""
    ground_asl: Annotated[Quantity, Measured(dimension=Dimension.LENGTH, minimum=-500, maximum=9000)]
    """Height of the pad above the sea."""
    ceiling_agl: SomeLength | None = None
    """Altitude above the ground that flights are authorised for."""
    airspace: Literal["A", "B", "C", "D", "E", "G"] | None = None
    """Class of the airspace as high as the flight goes, from the aeronautical chart."""
    authorised_by: Text = ""
    """Who has authorised flights in controlled airspace, and the number of it."""
    field_radius: SomeLength | None = None
    """Distance from the pad to the nearest edge of the field."""
    field: FileName | None = None
    """GeoJSON file beside this one: the field's outline; people, roads, buildings, water, trees by kind."""
    latitude: (
        Annotated[
            Quantity,
            Measured(dimension=Dimension.ANGLE, minimum=-_QUARTER_TURN_RAD, maximum=_QUARTER_TURN_RAD),
        ]
        | None
    ) = None
    """Latitude of the pad, north positive."""
    longitude: (
        Annotated[
            Quantity,
            Measured(
                dimension=Dimension.ANGLE, minimum=-2 * _QUARTER_TURN_RAD, maximum=2 * _QUARTER_TURN_RAD
            ),
        ]
        | None
    ) = None
    """Longitude of the pad, east positive."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """The field's outline and where the pad stands in it; angles in degrees as the file has them."""

    rings_deg: tuple[NDArray[np.float64], ...]
    """Outer edge, then holes; each (n, 2), longitude and latitude [deg]."""
    pad_latitude_rad: float
    pad_longitude_rad: float
    marks: tuple[Mark, ...] = ()
    """What lies on and round it: people, roads, buildings, water, trees, other pads."""


def read_site(path: Path) -> Site:
    """Read a site's TOML file.

    Raises
    ------
    BuildSheetError
        With all faults in it.
    """
    return read_record(path, Site)[0]


def read_site_field(path: Path, folder: Path) -> Field | None:
    """Read the field's outline that a site's file names; ``None`` where it names none.

    Raises
    ------
    BuildSheetError
        If the outline cannot be used, or the pad's own latitude and longitude are missing.
    """
    return site_field(*read_record(path, Site), folder)


def site_field(site: Site, source: TomlSource, folder: Path) -> Field | None:
    """Read the field's outline that a site names; ``None`` where it names none.

    Raises
    ------
    BuildSheetError
        If the outline cannot be used, or the pad's own latitude and longitude are missing.
    """
    if site.field is None:
        return None
    file = file_inside(folder, source, ("field",), (".geojson", ".json"))
    if site.latitude is None or site.longitude is None:
        given = "a field's outline without the pad's latitude and longitude"
        accepted = 'latitude = "51.2345 deg" and longitude = "-1.2345 deg" beside it: where the rail stands'
        raise BuildSheetError([source.fault(("field",), given=given, accepted=accepted)])
    return Field(
        rings_deg=read_field(file),
        pad_latitude_rad=site.latitude.value,
        pad_longitude_rad=site.longitude.value,
        marks=read_marks(file),
    )
