"""A text file the builder wrote: read, parsed, and able to say on which line a fault stands."""

import re
import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from finial.core.errors import BuildSheetError, Fault, OutsideRange
from finial.core.trees import is_list, is_table
from finial.files.toml_places import KeyPath, Places, places_of

_LARGEST_BYTES = 8_000_000
_MOST_STEPS = 100
_MOST_BITS = 64
_DEEPEST = 40
_AFTER_OPENING = re.compile(r"[\n{,]")
_AT_LINE = re.compile(r"\(at line (\d+), column \d+\)")
_STEP = re.compile(r"([A-Za-z0-9_-]+)((?:\[\d{1,6}\])*)")
_UNQUOTED = re.compile(r"\s*[\w.-]+\s*=\s*([+-]?[\d.]+\s*[A-Za-z%°µ][^#\n\"']*)")


@dataclass(frozen=True, slots=True, kw_only=True)
class TomlSource:
    """Text and values of a TOML file, and where each value stands."""

    path: Path
    text: str
    values: dict[str, Any]
    places: Places

    def fault(self, where: KeyPath, *, given: str, accepted: str, likely_slip: str = "") -> Fault:
        """Return a fault at a path inside this file."""
        return Fault(
            file=str(self.path),
            line=self.places.line_of(where),
            field=dotted(where),
            given=given,
            accepted=accepted,
            likely_slip=likely_slip,
        )


def read_toml(path: Path) -> TomlSource:
    """Read a TOML file.

    Raises
    ------
    BuildSheetError
        If it is not there, not text, too large, or not TOML; with the line.
    """
    return toml_from(path, read_text(path, wanted="a TOML file"))


def toml_from(path: Path, text: str) -> TomlSource:
    """Take the text of a TOML file as if it stood at a path.

    Raises
    ------
    BuildSheetError
        If it is not TOML; with the line.
    """
    if _has_endless_key(text):
        raise _refused(path, f"a key of more than {_MOST_STEPS} dotted steps", "a TOML file")
    try:
        values = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise BuildSheetError([_syntax_fault(path, text, error)]) from error
    except (RecursionError, ValueError) as error:
        deep = isinstance(error, RecursionError)
        given = "lists nested too deep" if deep else "a number of thousands of digits"
        raise _refused(path, given, "a TOML file") from error
    odd = _odd_value(values)
    if odd:
        raise _refused(
            path, odd, f"numbers of 64 bits, and {_DEEPEST} tables or lists in one another at most"
        )
    return TomlSource(path=path, text=text, values=values, places=places_of(text))


def read_text(path: Path, *, wanted: str) -> str:
    """Read a small UTF-8 file; every reason why that fails becomes a fault."""
    given = ""
    try:
        if not path.is_file():
            given = "a folder" if path.is_dir() else "no such file"
        elif path.stat().st_size > _LARGEST_BYTES:
            given = f"{path.stat().st_size / 1e6:.0f} MB"
        else:
            return path.read_bytes().decode("utf-8-sig")
    except UnicodeDecodeError as error:
        given = f"byte {error.start} is not UTF-8 text"
    except OSError as error:
        given = error.strerror or str(error)
    accepted = f"{wanted} in UTF-8 of at most {_LARGEST_BYTES // 1_000_000} MB"
    raise _refused(path, given, accepted)


def place_of(told: str) -> KeyPath:
    """Read a dotted place; its entries are counted from 1.

    Raises
    ------
    OutsideRange
        If it is none.

    Examples
    --------
    >>> place_of("part[1].tiers[2].height")
    ('part', 0, 'tiers', 1, 'height')
    """
    path: list[str | int] = []
    for step in told.split("."):
        found = _STEP.fullmatch(step)
        numbers = re.findall(r"\d+", found[2]) if found else ["0"]
        if found is None or any(int(one) < 1 for one in numbers):
            raise OutsideRange(f"the file has no place {told!r}")
        path += [found[1], *(int(one) - 1 for one in numbers)]
    return tuple(path)


def dotted(path: KeyPath) -> str:
    """Write a path as ``part[2].material``; entries are counted from 1, as a builder counts.

    Examples
    --------
    >>> dotted(("recovery", "canopy", 0, "bay"))
    'recovery.canopy[1].bay'
    """
    text = ""
    for step in path:
        text += f"[{step + 1}]" if isinstance(step, int) else f".{step}"
    return text.removeprefix(".") or "whole file"


def _refused(path: Path, given: str, accepted: str) -> BuildSheetError:
    return BuildSheetError([Fault(file=str(path), field="whole file", given=given, accepted=accepted)])


def _has_endless_key(text: str) -> bool:
    """Say whether a key has so many steps that reading it would take for ever: the square of their number."""
    if text.count(".") <= _MOST_STEPS:
        return False
    before_equals = (_AFTER_OPENING.split(piece)[-1] for piece in text.split("="))
    headings = (row.partition("]")[0] for row in text.splitlines() if row.lstrip().startswith("["))
    keys = (*before_equals, *(heading for heading in headings if "," not in heading))
    return any(key.count(".") > _MOST_STEPS for key in keys)


def _odd_value(values: dict[str, Any]) -> str:
    """Name what no reader need take: deeper nesting than the walks after this one bear, huge integers."""
    level: list[Any] = [values]
    for _ in range(_DEEPEST):
        inner = [one for held in level for one in (held.values() if is_table(held) else held)]
        huge = next((one for one in inner if isinstance(one, int) and one.bit_length() > _MOST_BITS), None)
        if huge is not None:
            return f"a whole number of {huge.bit_length()} bits"
        level = [one for one in inner if is_table(one) or is_list(one)]
        if not level:
            return ""
    return "lists nested too deep"


def _syntax_fault(path: Path, text: str, error: tomllib.TOMLDecodeError) -> Fault:
    message = str(error)
    found = _AT_LINE.search(message)
    rows = text.splitlines()
    line = int(found[1]) if found else len(rows)
    row = rows[line - 1] if 0 < line <= len(rows) else ""
    unquoted = _UNQUOTED.match(row)
    slip = f'a quantity is written in quotes: "{unquoted[1].strip()}"' if unquoted else ""
    if row.lstrip().startswith("[["):
        slip = f"an earlier {row.strip()[1:-1]} has single brackets: a list takes double ones everywhere"
    return Fault(
        file=str(path),
        line=line,
        field="TOML syntax",
        given=row.strip() or "the end of the file",
        accepted=_AT_LINE.sub("", message).strip().lower() or "valid TOML",
        likely_slip=slip,
    )
