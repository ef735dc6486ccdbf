"""What a job was asked, as it is kept in its folder."""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from finial.assemble.vehicle.changes import Changes
from finial.files.write import write_atomically

ASKED, PROGRESS, ENDED, RESULT, LOG = "asked.json", "progress.json", "ended.json", "result.json", "log.txt"
FLIGHTS = "flights"
"""Folder in a campaign's own where its flights are kept."""
DESIGNS = "designs"
"""Folder in a search's own where judged designs are noted."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AskedJob:
    """One job: its kind, its settings, and the sheet it is about with what was tried on it."""

    kind: str
    settings: Mapping[str, int]
    sheet: str
    revision: str | None
    changes: Changes

    def write(self, folder: Path) -> None:
        """Keep it in the job's folder."""
        told = {
            "kind": self.kind,
            "settings": dict(self.settings),
            "sheet": self.sheet,
            "revision": self.revision,
            "changes": [[list(place), value] for place, value in self.changes.items()],
        }
        write_json(folder / ASKED, told)


def read_asked(folder: Path) -> AskedJob:
    """Read what a job was asked.

    Raises
    ------
    OSError, ValueError, KeyError, TypeError
        If the folder holds no job, or a damaged one.
    """
    told = json.loads((folder / ASKED).read_text(encoding="utf-8"))
    return AskedJob(
        kind=told["kind"],
        settings={name: int(value) for name, value in told["settings"].items()},
        sheet=told["sheet"],
        revision=told["revision"],
        changes={tuple(place): value for place, value in told["changes"]},
    )


def write_json(path: Path, told: object) -> None:
    """Write a small record whole or not at all."""
    write_atomically(path, json.dumps(told, ensure_ascii=False).encode())
