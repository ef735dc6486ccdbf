"""The road of a stranger: three unseen meshes, the commands of the tutorial as written, a card at the end.

The tutorial's tables are those of its own shape. Here the sheet's proposals are taken up instead, as the page
tells a builder to: the marks taken away, and every ``?`` answered.
"""

import importlib.util
import re
import shlex
from collections.abc import Callable, Mapping
from pathlib import Path
from types import ModuleType

ROOT = Path(__file__).resolve().parents[1]
TUTORIAL = ROOT / "docs" / "from-three-stl-files.md"
TABLES = ("motor", "fin", "item", "guide", "launch")
"""Tables whose proposals the tutorial takes up."""
ANSWERS = {
    "thickness": "5 mm",
    "material": "polycarbonate",
    "mass": "900 g +- 20 g",
    "rail_length": "3 m",
    "wind": "3 m/s +- 1 m/s",
    "wind_from": "250 deg",
    "temperature": "18 degC",
    "code": "NFPA 1127",
}
"""What only the builder knows, by the key that asks for it."""
PROPOSAL = re.compile(r"^#~ (\[{1,2}([a-z.]+)\]{1,2}|(\w+) = (.*?))(?:\s+# .*)?$")
BLOCK = re.compile(r"^```(\w+)\n(.*?)^```$", flags=re.MULTILINE | re.DOTALL)


def walk(run: Callable[[list[str]], None], folder: Path) -> int:
    """Do what the tutorial says in a folder that holds its files; return how many commands were run."""
    sheet, taken, done = folder / "my-box" / "my-box.toml", False, 0
    for kind, body in BLOCK.findall(TUTORIAL.read_text(encoding="utf-8")):
        if kind == "sh":
            for line in body.splitlines():
                run(shlex.split(line, comments=True)[1:])
                done += 1
        elif kind == "toml" and body.startswith("name"):
            sheet.with_name("site.toml").write_text(body, encoding="utf-8")
        elif kind == "toml" and body.startswith("[print]"):
            sheet.write_text(f"{sheet.read_text(encoding='utf-8')}\n{body}", encoding="utf-8")
        elif kind == "toml" and not taken:
            text = sheet.read_text(encoding="utf-8").replace("guessed = true\n", "")
            sheet.write_text(taken_up(text, TABLES, ANSWERS), encoding="utf-8")
            taken = True
    return done


def taken_up(text: str, tables: tuple[str, ...], answers: Mapping[str, str]) -> str:
    """Take the marks away from the proposals of some tables, and answer what they ask."""
    lines: list[str] = []
    table = ""
    for line in text.splitlines():
        found = PROPOSAL.match(line)
        if found is None:
            lines.append(line)
            continue
        table = found[2] or table
        lines.append(_answered(found, answers) if table in tables else line)
    return "\n".join(lines) + "\n"


def _answered(found: re.Match[str], answers: Mapping[str, str]) -> str:
    if found[2] or "?" not in found[4]:
        return found[1]
    return f'{found[3]} = "{answers[found[3]]}"'


def three_meshes(folder: Path) -> None:
    """Write a hexagonal tower that is in no example, under the names that the tutorial's commands have."""
    drawn = _examples_own_tools()
    roof = drawn.cupped(6, [(600, 112), (640, 150), (660, 150), (760, 30)], [(600, 90), (650, 90)])
    stepped = [(300, 60.4), (380, 60.4), (380, 90), (600, 90)]
    upper = drawn.bored(6, [(300, 126), (600, 112)], stepped)
    lower = drawn.bored(6, [(0, 170), (40, 170), (300, 126)], [(0, 60.4), (300, 60.4)])
    for name, body in (("roof", roof), ("booth-upper", upper), ("booth-lower", lower)):
        drawn.write_stl(folder / f"{name}.stl", [body])


def _examples_own_tools() -> ModuleType:
    spec = importlib.util.spec_from_file_location("make_meshes", ROOT / "examples" / "make_meshes.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module
