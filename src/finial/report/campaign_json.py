"""A campaign's answer as JSON: SI units and radians, keys as the records' own."""

import json
from dataclasses import fields
from typing import Any

from finial.campaign.answers import CampaignAnswer
from finial.core.version import __version__
from finial.report.json_records import SCHEMA_VERSION, plain
from finial.report.words import CAUTION


def campaign_to_json(name: str, answer: CampaignAnswer) -> str:
    """Return the whole answer as JSON text."""
    found: dict[str, Any] = {
        field.name: plain(getattr(answer, field.name))
        for field in fields(answer)
        if field.name != "sensitivities"
    }
    found["sensitivities"] = {key: plain(shares) for key, shares in answer.sensitivities.items()}
    opening = {
        "schema_version": SCHEMA_VERSION,
        "finial_version": __version__,
        "caution": CAUTION,
        "name": name,
    }
    return json.dumps({**opening, "campaign": found}, allow_nan=False, ensure_ascii=False, indent=1)
