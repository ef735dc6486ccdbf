"""The whole answer to a sheet, kept by everything that it read: a second look costs nothing."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from finial.core.content import content_hash
from finial.files.kept import TRIAL, kept, kept_before
from finial.files.own_campaign import campaign_state
from finial.files.read_by import content_of_sheet

if TYPE_CHECKING:
    from finial.assemble.vehicle.changes import Changes
    from finial.assemble.vehicle.loading import LoadedVehicle
    from finial.findings.begun import Begun
    from finial.findings.readiness import Depth, Readiness

_last: dict[str, "LoadedVehicle"] = {}
"""The vehicle loaded last, by the content of all that it read."""


def kept_check(path: Path, depth: "Depth", tell: Callable[[str], None]) -> "Readiness | Begun":
    """Answer a sheet, or find the answer that was given to the same sheet and the same files before.

    Raises
    ------
    BuildSheetError
        With all faults in the sheet, its files and its meshes.
    """

    def compute() -> "Readiness | Begun":
        from finial.findings.advice import answered
        from finial.findings.begun import begun

        vehicle = loaded_once(path, content, tell)
        if vehicle.files.missing:
            return begun(vehicle)
        return answered(vehicle, depth=depth, tell=tell)

    content = content_of_sheet(path)
    if content is None:
        return compute()
    return kept("check", content_hash(content, depth.name, campaign_state(path)), compute)


def trial_looked_at(vehicle: "LoadedVehicle", changes: "Changes", tell: Callable[[str], None]) -> "Readiness":
    """Take the whole look at a vehicle, ``changes`` of its sheet taken up already, and keep the answer."""
    from finial.findings.advice import answered

    path = vehicle.files.path
    content = content_of_sheet(path)
    if content is None:
        return answered(vehicle, tell=tell)
    return kept(TRIAL, _trial(path, content, changes), lambda: answered(vehicle, tell=tell))


def trial_kept(path: Path, content: str | None, changes: "Changes") -> "Readiness | None":
    """Find the whole answer to a sheet of that content with changes; ``None`` where nobody looked yet."""
    return None if content is None else kept_before(TRIAL, _trial(path, content, changes))


def _trial(path: Path, content: str, changes: "Changes") -> str:
    # Changes come back from a job's folder as JSON: what is the same there is the same change.
    told = json.dumps(sorted([list(map(str, place)), value] for place, value in changes.items()))
    return content_hash(content, told, campaign_state(path))


def loaded_once(path: Path, content: str | None, tell: Callable[[str], None]) -> "LoadedVehicle":
    """Load the vehicle of a sheet, or hand out the last one if that read the same content.

    Raises
    ------
    BuildSheetError
        With all faults in the sheet, its files and its meshes.
    """
    from finial.findings.check import load_begun

    if content is None:
        return load_begun(path, tell=tell)
    if content not in _last:
        vehicle = load_begun(path, tell=tell)
        _last.clear()
        _last[content] = vehicle
    return _last[content]
