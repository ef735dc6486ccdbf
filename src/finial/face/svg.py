"""A picture: its SVG text, shown as a picture in a notebook."""

from pathlib import Path


class Svg(str):
    """SVG text; a notebook draws it."""

    __slots__ = ()

    def _repr_svg_(self) -> str:
        return str(self)

    def __repr__(self) -> str:
        """Say what it is, not the whole text."""
        return f"<picture, {len(self)} characters of SVG>"

    def save(self, path: str | Path) -> Path:
        """Write it to a file, whole or not at all."""
        from finial.files.write import write_atomically

        target = Path(path)
        write_atomically(target, self.encode())
        return target
