"""The closer look at the recovery as JSON, in SI units."""

import json

from finial import __version__
from finial.findings.recovery_look import RecoveryLook
from finial.report.json_records import SCHEMA_VERSION, plain
from finial.report.sections.recovery_study import POWDER_CAUTION
from finial.report.words import CAUTION


def recovery_to_json(look: RecoveryLook) -> str:
    """Return the look as JSON text; numbers that are not finite become ``null``."""
    told = {
        "schema_version": SCHEMA_VERSION,
        "finial_version": __version__,
        "units": "SI: m, kg, s, N, Pa, K; angles in radians",
        "caution": CAUTION,
        "powder_caution": POWDER_CAUTION,
        **plain(look),
    }
    return json.dumps(told, allow_nan=False, ensure_ascii=False, indent=1)
