"""The site's file of a sheet, filled in on the page: begun where there is none yet."""

from collections.abc import Mapping
from pathlib import Path, PurePosixPath
from typing import Any

from finial.core.errors import BuildSheetError, OutsideRange
from finial.files.edit import Value
from finial.files.entries import value_at
from finial.files.faults import record_from
from finial.files.sheet_rows import SITE_FILE
from finial.files.site import Site, site_field
from finial.files.source import TomlSource, read_toml
from finial.files.toml_places import KeyPath
from finial.web.drafts.draft import Draft

USUAL = "site.toml"
_BEGIN = """# A field to fly from: what it is called, and how high the pad stands above the sea.
name = ""
ground_asl = ""
"""


def site_draft(sheet: Path) -> Draft:
    """Return the site's file that a sheet names, or may name, as a draft."""
    return Draft(
        path=sheet.parent / _named(sheet),
        kind="site",
        file=SITE_FILE,
        begin=_BEGIN,
        start=_start,
        told=_told,
        untold={},
    )


def _named(sheet: Path) -> str:
    """Return the file's name as the sheet has it; a name that leaves the folder is none."""
    try:
        named = value_at(read_toml(sheet).values, ("launch", "site"))
    except BuildSheetError:
        return USUAL
    if not isinstance(named, str) or PurePosixPath(named).name != named or not named.endswith(".toml"):
        return USUAL
    return USUAL if named == sheet.name else named


def _told(source: TomlSource, _us_units: bool) -> Mapping[str, Any]:
    site_field(record_from(source, Site), source, source.path.parent)
    return {}


def _start(_source: TomlSource, path: KeyPath, _index: int, _given: Mapping[str, Value]) -> Value:
    raise OutsideRange(f"a site has no list of {path[-1]}")
