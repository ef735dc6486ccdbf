"""Every design a search has judged, one line each: killed at any point, it goes on from there."""

import json
import os
from pathlib import Path
from typing import Any

from finial.core.errors import CampaignError
from finial.core.trees import is_table
from finial.sizing.judged import Judged

Point = tuple[float, ...]


class Notebook:
    """Judged designs of one search, in memory and in a file that only grows."""

    def __init__(self, path: Path, search: str) -> None:
        """Open or begin the file; ``search`` tells searches apart.

        Raises
        ------
        CampaignError
            If the file belongs to another search or cannot be written to.
        """
        self.path = path
        self.known: dict[Point, Judged] = {}
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
            self._begin(search)
            self._read(search)
        except OSError as error:
            raise CampaignError(f"{path} cannot be used: {error.strerror or error}") from error

    def note(self, point: Point, judged: Judged) -> None:
        """Keep what a design came to.

        Raises
        ------
        CampaignError
            If the disk is full; what was noted stays.
        """
        self.known[point] = judged
        row = {"point": point, "mass_kg": judged.mass_kg, "missing": judged.missing, "is_go": judged.is_go}
        try:
            self._put(_line(row))
        except OSError as error:
            raise CampaignError(
                f"{self.path} cannot be written to: {error.strerror or error}. What was noted stays: "
                "make room and run the same command again"
            ) from error

    def _begin(self, search: str) -> None:
        """Write the head, or what is missing of it or of the last line where a full disk cut it short."""
        head = _line({"search": search})
        text = self.path.read_text(encoding="utf-8") if self.path.exists() else ""
        if head.startswith(text):
            self._put(head.removeprefix(text))
        elif text.startswith(head) and not text.endswith("\n"):
            self._put("\n")

    def _put(self, text: str) -> None:
        with self.path.open("a", encoding="utf-8") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())

    def _read(self, search: str) -> None:
        first, *rows = self.path.read_text(encoding="utf-8").splitlines() or [""]
        if _row(first).get("search") != search:
            raise CampaignError(
                f"{self.path} belongs to another search (other vehicle, ends or seed): name another folder"
            )
        for row in map(_row, rows):
            # The last line may have been cut short when the run was killed.
            if row:
                judged = Judged(mass_kg=row["mass_kg"], missing=row["missing"], is_go=row["is_go"])
                self.known[tuple(row["point"])] = judged


def _line(row: dict[str, Any]) -> str:
    return json.dumps(row) + "\n"


def _row(line: str) -> dict[str, Any]:
    try:
        row = json.loads(line)
    except ValueError:
        return {}
    return row if is_table(row) else {}
