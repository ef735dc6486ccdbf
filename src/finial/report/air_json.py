"""The air loads as JSON."""

import json

from finial.findings.readiness import Readiness
from finial.report.json_records import to_plain

_KEPT = ("schema_version", "finial_version", "units", "caution", "name", "air", "stability")


def air_to_json(readiness: Readiness) -> str:
    """Return band, table, drag, margins and trim as JSON text, by the rules of the whole answer."""
    whole = to_plain(readiness)
    return json.dumps({key: whole[key] for key in _KEPT}, allow_nan=False, ensure_ascii=False, indent=1)
