"""The long look at strength as JSON, in SI units."""

import json

from finial import __version__
from finial.findings.strength_look import StrengthLook
from finial.report.json_records import SCHEMA_VERSION, plain
from finial.report.words import CAUTION


def strength_to_json(look: StrengthLook) -> str:
    """Return the look as JSON text; numbers that are not finite become ``null``."""
    told = {
        "schema_version": SCHEMA_VERSION,
        "finial_version": __version__,
        "units": "SI: m, kg, s, N, Pa, K; angles in radians",
        "caution": CAUTION,
        **plain(look),
    }
    return json.dumps(told, allow_nan=False, ensure_ascii=False, indent=1)
