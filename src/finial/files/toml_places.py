"""Where in a TOML file each value stands.

``tomllib`` says what a file means but not where it says so. This walks the text of
a file that ``tomllib`` has already accepted, so it needs no error handling of its own.
"""

import re
from bisect import bisect_left
from dataclasses import dataclass

KeyPath = tuple[str | int, ...]

_SKIP = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*")
_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
_BARE_VALUE = re.compile(r"[^,\]}\n#]*")
_STRINGS = (
    re.compile(r'"""(?:\\.|[^\\])*?"{3,5}', re.DOTALL),
    re.compile(r"'''.*?'{3,5}", re.DOTALL),
    re.compile(r'"(?:\\.|[^"\\])*"'),
    re.compile(r"'[^']*'"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Places:
    """Where things stand in a TOML text, by path; list entries count from 0."""

    lines: dict[KeyPath, int]
    """Line of every table, key and list entry."""
    spans: dict[KeyPath, tuple[int, int]]
    """First and past-the-last character of every value."""
    ends: dict[KeyPath, int]
    """Where the last pair of a table ends, or its heading when it has none; inline tables have no entry."""

    def line_of(self, path: KeyPath) -> int | None:
        r"""Line of a path, or of the nearest table above it that is in the file.

        Examples
        --------
        >>> places_of("[motor]\ndata = 'x.toml'").line_of(("motor", "nozzle_station"))
        1
        """
        while path:
            if path in self.lines:
                return self.lines[path]
            path = path[:-1]
        return None


def places_of(text: str) -> Places:
    r"""Walk a text that is valid TOML.

    Examples
    --------
    >>> text = '[[part]]\nname = "tower"\nprint = { wall = "2 mm" }\n'
    >>> places_of(text).lines[("part", 0, "print", "wall")]
    3
    """
    walker = _Walker(text)
    walker.document()
    return Places(lines=walker.lines, spans=walker.spans, ends=walker.ends)


class _Walker:
    """A cursor over the text that notes the place of each path it passes."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.breaks = [found.start() for found in re.finditer("\n", text)]
        self.lines: dict[KeyPath, int] = {}
        self.spans: dict[KeyPath, tuple[int, int]] = {}
        self.ends: dict[KeyPath, int] = {(): 0}
        self.last_entry: dict[KeyPath, int] = {}

    def document(self) -> None:
        table: KeyPath = ()
        self.skip()
        while self.at < len(self.text):
            if self.text[self.at] == "[":
                table = self.header()
            else:
                self.pair(table)
                self.ends[table] = self.at
            self.skip()

    def skip(self) -> None:
        match = _SKIP.match(self.text, self.at)
        self.at = match.end() if match else self.at

    def note(self, path: KeyPath, start: int) -> None:
        self.lines.setdefault(path, bisect_left(self.breaks, start) + 1)

    def header(self) -> KeyPath:
        """Read ``[a.b]`` or ``[[a.b]]``; a list of tables on the way stands for its last entry."""
        start, is_list = self.at, self.text.startswith("[[", self.at)
        self.at += 2 if is_list else 1
        *parents, last = self.keys()
        path: KeyPath = ()
        for key in parents:
            path = self.inside(path, key)
        if is_list:
            path = (*path, last)
            entry = self.last_entry.get(path, -1) + 1
            self.last_entry[path] = entry
            path = (*path, entry)
        else:
            path = (*path, last)
        self.at += 2 if is_list else 1
        self.note(path, start)
        self.ends[path] = self.at
        return path

    def inside(self, path: KeyPath, key: str) -> KeyPath:
        path = (*path, key)
        return (*path, self.last_entry[path]) if path in self.last_entry else path

    def keys(self) -> list[str]:
        """Read a dotted key; stop at the character after it."""
        found: list[str] = []
        while True:
            self.skip()
            found.append(self.key())
            self.skip()
            if not self.text.startswith(".", self.at):
                return found
            self.at += 1

    def key(self) -> str:
        start = self.at
        if self.text[self.at] in "\"'":
            self.string()
            return self.text[start + 1 : self.at - 1]
        match = _BARE_KEY.match(self.text, self.at)
        self.at = match.end() if match else self.at + 1
        return self.text[start : self.at]

    def pair(self, table: KeyPath) -> None:
        start, path = self.at, table
        for key in self.keys():
            path = (*path, key)
            self.note(path, start)
        self.at += 1  # the equals sign
        self.value(path)

    def value(self, path: KeyPath) -> None:
        self.skip()
        self.note(path, self.at)
        start, opening = self.at, self.text[self.at]
        if opening == "[":
            self.entries(path)
        elif opening == "{":
            self.inline(path)
        elif opening in "\"'":
            self.string()
        else:
            match = _BARE_VALUE.match(self.text, self.at)
            self.at += len(match[0].rstrip()) if match else 0
        self.spans[path] = (start, self.at)

    def entries(self, path: KeyPath) -> None:
        self.at += 1
        index = 0
        self.skip()
        while self.text[self.at] != "]":
            self.value((*path, index))
            index += 1
            self.pass_comma()
        self.at += 1

    def inline(self, path: KeyPath) -> None:
        self.at += 1
        self.skip()
        while self.text[self.at] != "}":
            self.pair(path)
            self.pass_comma()
        self.at += 1

    def pass_comma(self) -> None:
        self.skip()
        if self.text[self.at] == ",":
            self.at += 1
            self.skip()

    def string(self) -> None:
        for form in _STRINGS:
            match = form.match(self.text, self.at)
            if match:
                self.at = match.end()
                return
