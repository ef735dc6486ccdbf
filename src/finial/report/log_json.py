"""What a log tells as JSON: SI units and radians, keys as the records' own."""

import json
from typing import Any

from finial.core.version import __version__
from finial.logbook.compare import LogComparison
from finial.logbook.refit import Refit
from finial.logbook.sheet_changes import SheetChanges
from finial.logbook.story import Story
from finial.report.json_records import SCHEMA_VERSION, plain
from finial.report.words import CAUTION


def log_to_json(
    stories: tuple[Story, ...], fit: Refit, compared: LogComparison, changes: SheetChanges, **more: Any
) -> str:
    """Return what logs tell as JSON text; ``more`` stands beside it."""
    told = {
        "schema_version": SCHEMA_VERSION,
        "finial_version": __version__,
        "units": "SI: m, kg, s, N, Pa, J, A, V, K; angles in radians",
        "caution": CAUTION,
        "logs": [story_plain(story) for story in stories],
        "compared": {
            **plain(compared),
            "outside": [one.quantity for one in compared.differences if one.outside],
        },
        "refit": {
            "learnt": plain(fit.learnt),
            "covariance": plain(fit.covariance),
            "recorder": dict(fit.recorder),
            "misfit": fit.misfit,
            "settled": fit.settled,
        },
        "changes": {".".join(map(str, place)): value for place, value in changes.values.items()},
        **more,
    }
    return json.dumps(told, allow_nan=False, ensure_ascii=False, indent=1)


def story_plain(story: Story) -> dict[str, Any]:
    """Return what a log tells as plain lists and objects."""
    climb, sensed = story.climb, story.reading.sensed
    fastest, top = int(climb.speeds_m_s.argmax()), int(climb.heights_m.argmax())
    return {
        "file": story.reading.file,
        "rows": story.reading.rows,
        "step_s": story.reading.step_s,
        "clock_at_lift_off_s": story.reading.clock_at_lift_off_s,
        "height_noise_m": sensed.height_noise_m if sensed.has_heights else None,
        "felt_noise_m_s2": sensed.felt_noise_m_s2 if sensed.has_axial else None,
        "highest_m": float(climb.heights_m[top]),
        "highest_sigma_m": float(climb.height_sigmas_m[top]),
        "fastest_m_s": float(climb.speeds_m_s[fastest]),
        "fastest_sigma_m_s": float(climb.speed_sigmas_m_s[fastest]),
        "happenings": plain(story.happenings),
        "falls": plain(story.falls),
        "push": plain(story.push),
        "snatch": plain(story.snatch),
        "opening": plain(story.opening),
        "turning": plain(story.turning),
        "lean": plain(story.lean),
        "notes": plain(story.notes),
    }
