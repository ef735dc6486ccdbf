"""Places with times in GPX 1.1 and KML 2.2 (``gx:Track``, and points with a time stamp).

The text is parsed as a stream; a document type is refused, so that nothing in it can stand for more.
"""

from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from xml.parsers import expat

from finial.core.errors import LogError
from finial.files.flight_log.fixes import Fixes, TrackFix
from finial.files.flight_log.rows import log_refused

_DEEPEST = 40
_MOST_FIXES = 5_000_000


def markup_fixes(path: Path, text: str) -> Fixes:
    """Read the places of a track that have a time.

    Raises
    ------
    LogError
        If the markup is damaged, declares a document type, is neither GPX nor KML, or holds places but no
        times.
    """
    reader = _Reader(path=path)
    parser = expat.ParserCreate(namespace_separator=" ")
    parser.StartElementHandler = reader.begins
    parser.EndElementHandler = reader.ends
    parser.CharacterDataHandler = reader.says
    parser.StartDoctypeDeclHandler = reader.refuses
    reader.parser = parser
    try:
        parser.Parse(text.encode("utf-8"), True)
    except expat.ExpatError as error:
        said = expat.errors.messages.get(error.code, "damaged") if hasattr(error, "code") else "damaged"
        raise log_refused(
            path, error.lineno, f"markup that ends or breaks: {said}", "a whole file"
        ) from error
    except ValueError as error:
        raise reader.refused(str(error), "a number or a time") from error
    return reader.found()


@dataclass(slots=True, kw_only=True)
class _Reader:
    """What has been read so far, and where the parser stands in the tree."""

    path: Path
    parser: expat.XMLParserType | None = None
    tree: list[str] = field(default_factory=list[str])
    words: list[str] = field(default_factory=list[str])
    place: tuple[float, float] | None = None
    height_m: float = float("nan")
    time_s: float | None = None
    fixes: list[TrackFix] = field(default_factory=list[TrackFix])
    whens: list[tuple[int, float]] = field(default_factory=list[tuple[int, float]])
    coords: list[str] = field(default_factory=list[str])
    without_time: int = 0

    def begins(self, tag: str, given: dict[str, str]) -> None:
        """Open a tag."""
        name = tag.rpartition(" ")[2]
        if not self.tree and name not in ("gpx", "kml"):
            raise self.refused(f"<{name}>", "a track: <gpx> or <kml>")
        if len(self.tree) >= _DEEPEST:
            raise self.refused(f"tags {_DEEPEST} deep", "a track")
        self.tree.append(name)
        self.words.clear()
        if name in ("trkpt", "wpt", "rtept"):
            self.place = float(given.get("lon", "")), float(given.get("lat", ""))
            self.height_m, self.time_s = float("nan"), None
        elif name in ("Track", "Placemark"):
            self.whens.clear()
            self.coords.clear()
            self.time_s = None

    def says(self, words: str) -> None:
        """Collect what stands in a tag."""
        self.words.append(words)

    def ends(self, tag: str) -> None:
        """Close a tag."""
        name, said = self.tree.pop(), "".join(self.words).strip()
        self.words.clear()
        parent = self.tree[-1] if self.tree else ""
        if name == "ele" and parent == "trkpt":
            self.height_m = float(said)
        elif name == "time" and parent == "trkpt":
            self.time_s = _seconds(said)
        elif name == "when":
            self.whens.append((self._line(), _seconds(said)))
        elif name == "coord":
            self.coords.append(said)
        elif name == "coordinates" and parent == "Point":
            self.coords.append(said.replace(",", " "))
        elif name == "coordinates" and parent == "LineString":
            self.without_time += len(said.split())
        elif name == "trkpt":
            self._add_point()
        elif name in ("Track", "Placemark"):
            self._add_track()

    def refuses(self, *_: object) -> None:
        """Refuse a document type: it could make one word stand for millions."""
        raise self.refused("a document type", "a track without one", "exported by another program?")

    def refused(self, given: str, accepted: str, likely_slip: str = "") -> LogError:
        """Make the error of what stands at the parser's place."""
        return log_refused(self.path, self._line(), given, accepted, likely_slip)

    def found(self) -> Fixes:
        """Return all places; those of a line without times are no track."""
        if not self.fixes and self.without_time:
            accepted = "places with times: <trkpt> with <time>, <gx:Track>, or points with <when>"
            given = f"{self.without_time} places without a time"
            raise self.refused(given, accepted, "a line drawn on a map: export the track, or NMEA sentences")
        if not self.fixes:
            raise self.refused("no place", "places with times")
        return Fixes(fixes=tuple(self.fixes))

    def _line(self) -> int:
        return 1 if self.parser is None else self.parser.CurrentLineNumber

    def _add_point(self) -> None:
        if self.place is None or self.time_s is None:
            self.without_time += 1
            return
        self._add(self._line(), self.time_s, self.place, self.height_m)

    def _add_track(self) -> None:
        whens, coords = tuple(self.whens), tuple(self.coords)
        self.whens.clear()
        self.coords.clear()
        if len(whens) != len(coords):
            self.without_time += len(coords)
            return
        for (line, time_s), told in zip(whens, coords, strict=True):
            longitude, latitude, *height = map(float, told.split())
            self._add(line, time_s, (longitude, latitude), height[0] if height else float("nan"))

    def _add(self, line: int, time_s: float, place: tuple[float, float], height_m: float) -> None:
        longitude, latitude = place
        if not (abs(latitude) <= 90.0 and abs(longitude) <= 180.0):
            raise self.refused(f"latitude {latitude:g}, longitude {longitude:g}", "degrees on the earth")
        if len(self.fixes) >= _MOST_FIXES:
            raise self.refused(f"more than {_MOST_FIXES} places", "one flight")
        fix = TrackFix(
            line=line, time_s=time_s, latitude_deg=latitude, longitude_deg=longitude, height_asl_m=height_m
        )
        self.fixes.append(fix)


def _seconds(said: str) -> float:
    """Seconds of a time of ISO 8601, such as ``2024-05-04T10:00:00Z``; without a zone it counts as UTC."""
    told = datetime.fromisoformat(said)
    return (told if told.tzinfo else told.replace(tzinfo=UTC)).timestamp()
