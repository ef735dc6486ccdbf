"""A campaign's answer as JSON: SI units and radians, keys as the records' own."""

import json
from dataclasses import fields
from typing import Any

from finial.campaign.answers import CampaignAnswer
from finial.core.version import __version__
from finial.report.json_records import SCHEMA_VERSION, opening_plain, plain
from finial.report.words import CAUTION, Answered


def campaign_to_json(name: str, answer: CampaignAnswer, checked: Answered | None = None) -> str:
    """Return the odds as JSON text, under the verdict of the whole check where it was made."""
    found: dict[str, Any] = {
        field.name: plain(getattr(answer, field.name)) for field in fields(answer) if field.name != "decided"
    }
    found["decided"] = {key: plain(one) for key, one in answer.decided.items()}
    opening = {
        "schema_version": SCHEMA_VERSION,
        "finial_version": __version__,
        "caution": CAUTION,
        "name": name,
        **({**opening_plain(checked), "verdict": checked.verdict.words} if checked else {}),
    }
    return json.dumps({**opening, "campaign": found}, allow_nan=False, ensure_ascii=False, indent=1)
