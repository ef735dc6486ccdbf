"""Every design a search has judged, one line each: killed at any point, it goes on from there.

Each line ends with a check of what it says: a line that is damaged is judged anew, and a file whose first
line is damaged is set aside.
"""

import hashlib
import json
import logging
import os
from dataclasses import asdict
from pathlib import Path
from typing import Any

from finial.core.errors import CampaignError
from finial.core.trees import is_table
from finial.files.write import why_not_written
from finial.sizing.judged import Judged

Point = tuple[float, ...]
_CHECK = "check"
_LOG = logging.getLogger("finial")


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
            raise CampaignError(f"{path} cannot be used: {why_not_written(error)}") from error

    def note(self, point: Point, judged: Judged) -> None:
        """Keep what a design came to.

        Raises
        ------
        CampaignError
            If the disk is full; what was noted stays.
        """
        self.known[point] = judged
        row = {"point": point, **asdict(judged)}
        try:
            self._put(_line(row))
        except OSError as error:
            raise CampaignError(
                f"{self.path} cannot be written to: {why_not_written(error)}. What was noted stays"
            ) from error

    def _begin(self, search: str) -> None:
        """Write the head, or what is missing of it or of the last line where a full disk cut it short."""
        head = _line({"search": search})
        text = self._text()
        first, ended, _ = text.partition("\n")
        if ended and not _row(first):
            self.path.replace(self.path.with_name(f"{self.path.name}.damaged"))
            _LOG.warning("%s was damaged: set aside as *.damaged, and begun anew", self.path)
            text = ""
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
        # Only the line end that is written here ends a line: a damaged byte may be one of the others.
        first, *rows = self._text().removesuffix("\n").split("\n")
        if _row(first).get("search") != search:
            raise CampaignError(
                f"{self.path} belongs to another search (other vehicle, ends or seed): name another folder"
            )
        whole = [row for row in map(_row, rows) if row]
        for row in whole:
            point = tuple(row.pop("point"))
            self.known[point] = Judged(**row)
        # The last line may have been cut short when the run was killed.
        damaged = len(rows) - len(whole)
        if damaged:
            _LOG.warning("%s: %d of its lines cut short or damaged, judged anew", self.path, damaged)

    def _text(self) -> str:
        if not self.path.exists():
            return ""
        return self.path.read_bytes().decode(encoding="utf-8", errors="replace")


def _line(row: dict[str, Any]) -> str:
    return json.dumps(row | {_CHECK: _check(row)}) + "\n"


def _check(row: dict[str, Any]) -> str:
    return hashlib.blake2b(json.dumps(row).encode(), digest_size=8).hexdigest()


def _row(line: str) -> dict[str, Any]:
    """Return what a line says, nothing where it is not what was written."""
    try:
        row = json.loads(line)
    except (ValueError, RecursionError):
        return {}
    if not is_table(row) or row.pop(_CHECK, None) != _check(row):
        return {}
    return row
