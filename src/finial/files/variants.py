"""Named variants of a sheet: what was typed for each, kept in one file beside it."""

import json
from dataclasses import dataclass
from pathlib import Path

from finial.core.errors import OutsideRange
from finial.core.trees import is_list, is_table
from finial.core.visible import visible
from finial.files.typed import Typed
from finial.files.write import write_atomically

MOST_VARIANTS = 40
LONGEST_NAME = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Variant:
    """What one variant changes of the sheet, as it was typed."""

    name: str
    change: Typed


@dataclass(frozen=True, slots=True, kw_only=True)
class Variants:
    """The variants of one sheet."""

    path: Path

    @staticmethod
    def of_sheet(sheet: Path) -> "Variants":
        """Return where the variants of a sheet are kept."""
        return Variants(path=sheet.with_name(f"{sheet.stem}-variants.json"))

    def kept(self) -> tuple[Variant, ...]:
        """Every variant, oldest first; none where the file is not there.

        Raises
        ------
        OutsideRange
            If the file is damaged: what a builder kept is never taken for nothing.
        """
        if not self.path.is_file():
            return ()
        try:
            told = json.loads(self.path.read_text(encoding="utf-8"))
        except (OSError, ValueError) as fault:
            raise self._damaged() from fault
        if not is_list(told):
            raise self._damaged()
        return tuple(self._variant(one) for one in told)

    def keep(self, name: str, change: Typed) -> None:
        """Keep a variant under a name; one of that name is replaced.

        Raises
        ------
        OutsideRange
            If the name is empty or too long, or there are too many.
        """
        name = visible(" ".join(name.split()))
        if not 1 <= len(name) <= LONGEST_NAME:
            raise OutsideRange(f"a variant's name has 1 to {LONGEST_NAME} letters")
        others = [one for one in self.kept() if one.name != name]
        if len(others) >= MOST_VARIANTS:
            raise OutsideRange(f"{MOST_VARIANTS} variants are kept already: throw one away first")
        self._write((*others, Variant(name=name, change=change)))

    def forget(self, name: str) -> None:
        """Take a variant away."""
        self._write(tuple(one for one in self.kept() if one.name != name))

    def named(self, name: str) -> Variant:
        """Return one variant.

        Raises
        ------
        OutsideRange
            If there is none of that name.
        """
        for one in self.kept():
            if one.name == name:
                return one
        raise OutsideRange(f"no variant is called {name!r}")

    def _write(self, variants: tuple[Variant, ...]) -> None:
        told = [{"name": one.name, "change": dict(one.change)} for one in variants]
        write_atomically(self.path, json.dumps(told, ensure_ascii=False, indent=1).encode())

    def _variant(self, told: object) -> Variant:
        if not is_table(told) or set(told) != {"name", "change"}:
            raise self._damaged()
        name, change = told["name"], told["change"]
        if not isinstance(name, str) or not is_table(change):
            raise self._damaged()
        if not all(isinstance(text, str) for text in change.values()):
            raise self._damaged()
        return Variant(name=name, change={place: str(text) for place, text in change.items()})

    def _damaged(self) -> OutsideRange:
        return OutsideRange(f"{self.path.name} is not as it was written: mend it or take it away")
