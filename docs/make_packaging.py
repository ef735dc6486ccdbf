"""Write the tables of ``packaging.md``: run ``python docs/make_packaging.py`` where `make test` runs.

What is needed comes from pyproject.toml and requirements.lock, what it is for from packages.csv, licence and
size from what is installed here.
"""

import csv
import re
import tomllib
from dataclasses import dataclass
from importlib.metadata import Distribution, distribution
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
PAGE = ROOT / "docs" / "packaging.md"
START = "<!-- what follows is written by docs/make_packaging.py -->\n"
END = "<!-- end of what is written -->\n"
NOT_LOCKED = "not looked up, as no lock holds it"

GROUPS = {
    "": "Always",
    "campaign": "With `finial[campaign]`, which `make demo` installs too",
    "cluster": "With `finial[cluster]`",
    "dxf": "With `finial[dxf]`",
    "gpu": "With `finial[gpu]`",
    "notebook": "With `finial[notebook]`",
    "step": "With `finial[step]`",
    "build": "To build from source",
    "dev": "To run the tests",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Package:
    """One package as it is installed here, or not."""

    name: str
    licence: str
    size_mb: float | None


def tables() -> str:
    """Return a table for every group of pyproject.toml, and one of what comes along."""
    asked = dependencies()
    uses = used_for()
    parts = [group_table(GROUPS[group], names, uses) for group, names in asked.items()]
    everything = {name for names in asked.values() for name in names}
    return "\n".join([totals(asked), *parts, along_table(everything)])


def dependencies() -> dict[str, list[str]]:
    """Names of what pyproject.toml asks for, by group; the empty name is what everyone gets."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    groups = {"": project["dependencies"], **project["optional-dependencies"]}
    return {group: sorted({bare(text) for text in asked}) for group, asked in groups.items()}


def bare(requirement: str) -> str:
    """Return the name alone of a requirement, in the form that names are compared in."""
    name = re.split(r"[\s\[<>=!~;@]", requirement, maxsplit=1)[0]
    return re.sub(r"[-_.]+", "-", name).lower()


def used_for() -> dict[str, str]:
    """Return what each package is for, from the table beside this file."""
    with (ROOT / "docs" / "packages.csv").open(encoding="utf-8", newline="") as stream:
        return {row["name"]: row["used for"] for row in csv.DictReader(stream)}


def locked(lock: str = "requirements.lock") -> dict[str, list[str]]:
    """Return the packages of a lock, each with the packages that asked for it."""
    found: dict[str, list[str]] = {}
    name = ""
    for line in (ROOT / lock).read_text(encoding="utf-8").splitlines():
        if pinned := re.match(r"^([\w.-]+)==", line):
            name = bare(pinned[1])
        elif asker := re.match(r"^    # (?:via|  )\s*([\w.-]+)?", line):
            found.setdefault(name, []).extend(filter(None, [asker[1]]))
    return found


def totals(asked: dict[str, list[str]]) -> str:
    """Size of an installation, with what comes along."""
    small, campaign = (sum_mb(asked[""] + extra) for extra in ([], asked["campaign"]))
    return f"Together {small:.0f} MB; with `finial[campaign]` {campaign:.0f} MB.\n"


def sum_mb(names: list[str]) -> float:
    """Size of these packages and of all that they bring along."""
    wanted, lock = set(names), locked()
    while more := {name for name, askers in lock.items() if wanted & set(askers)} - wanted:
        wanted |= more
    return sum(one.size_mb or 0.0 for one in map(installed, wanted))


def group_table(title: str, names: list[str], uses: dict[str, str]) -> str:
    """Table of one group."""
    packages = [installed(name) for name in names]
    rows = [f"| {one.name} | {uses[one.name]} | {one.licence} | {megabytes(one)} |" for one in packages]
    return "\n".join(
        [f"### {title}\n", "| package | for | licence | MB |", "| --- | --- | --- | ---: |", *rows, ""]
    )


def along_table(asked: set[str]) -> str:
    """Table of what the packages above bring along, as the lock says."""
    rows = []
    for name, askers in sorted(locked().items()):
        if name not in asked:
            one = installed(name)
            rows.append(f"| {name} | {', '.join(sorted(set(askers)))} | {one.licence} | {megabytes(one)} |")
    head = ["### What these bring along\n", "| package | with | licence | MB |", "| --- | --- | --- | ---: |"]
    return "\n".join([*head, *rows, ""])


def installed(name: str) -> Package:
    """Look one package up where this runs."""
    if name not in locked("requirements-dev.lock"):
        return Package(name=name, licence=NOT_LOCKED, size_mb=None)
    found = distribution(name)
    paths = [Path(str(found.locate_file(file))) for file in found.files or ()]
    size = sum(path.stat().st_size for path in paths if path.is_file() and path.suffix != ".pyc")
    return Package(name=name, licence=licence(found), size_mb=size / 1e6)


def licence(found: Distribution) -> str:
    """Return what a package says of itself: an expression, a short text, or its classifiers."""
    said = found.metadata.get("License-Expression") or found.metadata.get("License") or ""
    if said and len(said) < 80 and "\n" not in said:
        return said
    classes = [each for each in found.metadata.get_all("Classifier", []) if each.startswith("License ::")]
    if not classes:
        raise ValueError(
            f"{found.metadata['Name']} does not say its licence; look, and name it in packages.csv"
        )
    return ", ".join(each.rpartition(" :: ")[2] for each in classes)


def megabytes(one: Package) -> str:
    """Size in a table."""
    if one.size_mb is None:
        return "-"
    if one.size_mb < 0.1:
        return "under 0.1"
    return f"{one.size_mb:.0f}" if one.size_mb >= 1 else f"{one.size_mb:.1f}"


def with_tables(text: str, written: str) -> str:
    """Put the tables between their two marks."""
    before, _, rest = text.partition(START)
    _, _, after = rest.partition(END)
    return f"{before}{START}\n{written}{END}{after}"


if __name__ == "__main__":
    PAGE.write_text(with_tables(PAGE.read_text(encoding="utf-8"), tables()), encoding="utf-8")
