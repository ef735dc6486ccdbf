"""Write ``finial.cdx.json``, the bill of materials of an installation: run ``python docs/make_sbom.py``.

CycloneDX 1.6: what requirements.lock holds, with version, licence and what asked for it. No time and no
serial number, so that the same lock gives the same file; the hashes of all archives stand in the lock.
"""

import importlib.util
import json
import re
import sys
from dataclasses import dataclass
from importlib.metadata import PackageNotFoundError
from pathlib import Path
from types import ModuleType
from typing import Any

from finial.core.version import __version__

ROOT = Path(__file__).resolve().parent.parent
PAGE = ROOT / "docs" / "finial.cdx.json"
_PINNED = re.compile(r"^([\w.-]+)==([^\s;\\]+)(?: ; ([^\\]+))?")


@dataclass(frozen=True, slots=True, kw_only=True)
class Pinned:
    """One line of a lock; a package may stand there twice, for older and newer Pythons."""

    name: str
    version: str
    marker: str

    @property
    def purl(self) -> str:
        """Address of the package by its registry's name."""
        return f"pkg:pypi/{self.name}@{self.version}"


def bill() -> dict[str, Any]:
    """Return the bill as it is committed."""
    packaging = _beside("make_packaging")
    rows = pinned((ROOT / "requirements.lock").read_text(encoding="utf-8"))
    needs: dict[str, set[str]] = {}
    for name, askers in packaging.locked().items():
        for asker in askers:
            needs.setdefault(packaging.bare(asker), set()).add(name)
    refs = {"finial": ["finial"], **{one.name: [] for one in rows}}
    for one in rows:
        refs[one.name].append(one.purl)
    return {
        "bomFormat": "CycloneDX",
        "specVersion": "1.6",
        "version": 1,
        "metadata": {"component": _itself()},
        "components": [_component(one, packaging) for one in rows],
        "dependencies": [
            {"ref": ref, "dependsOn": sorted(each for need in needs.get(name, ()) for each in refs[need])}
            for name, own in refs.items()
            for ref in own
        ],
    }


def pinned(text: str) -> tuple[Pinned, ...]:
    """Return every line of a lock that pins a package, in its order."""
    found = (_PINNED.match(line) for line in text.splitlines())
    return tuple(
        Pinned(name=re.sub(r"[-_.]+", "-", one[1]).lower(), version=one[2], marker=(one[3] or "").strip())
        for one in found
        if one
    )


def _itself() -> dict[str, Any]:
    licence = [{"license": {"id": "Apache-2.0"}}]
    return {
        "type": "application",
        "bom-ref": "finial",
        "name": "finial",
        "version": __version__,
        "licenses": licence,
    }


def _component(one: Pinned, packaging: ModuleType) -> dict[str, Any]:
    said = {
        "type": "library",
        "bom-ref": one.purl,
        "name": one.name,
        "version": one.version,
        "purl": one.purl,
        "licenses": [{"license": {"name": _licence(one.name, packaging)}}],
    }
    return {**said, "properties": [{"name": "marker", "value": one.marker}]} if one.marker else said


def _licence(name: str, packaging: ModuleType) -> str:
    """As the package says of itself, where it is installed on the machine that writes this."""
    try:
        return packaging.installed(name).licence
    except PackageNotFoundError:
        return "not looked up: not installed on this platform"


def _beside(name: str) -> ModuleType:
    spec = importlib.util.spec_from_file_location(name, Path(__file__).with_name(f"{name}.py"))
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[name] = module
    spec.loader.exec_module(module)
    return module


def text() -> str:
    """Return the file as it is committed."""
    return json.dumps(bill(), indent=1, ensure_ascii=False) + "\n"


if __name__ == "__main__":
    PAGE.write_text(text(), encoding="utf-8")
