"""Every key that a rule can give has its sentences, and every sentence belongs to a rule."""

import ast
import re
from importlib import import_module
from pathlib import Path
from pkgutil import iter_modules

import finial.findings
from finial.report import wording
from finial.report.wording import WORDINGS

FINDINGS = Path(finial.findings.__file__).parent
CONSTANT = re.compile(r"[A-Z_]+")


def keys_of_rules() -> set[str]:
    """Keys given to Rule(key=...) or to the makers of rules, read off the source."""
    found: set[str] = set()
    for path in FINDINGS.rglob("*.py"):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        for node in ast.walk(tree):
            if isinstance(node, ast.Call):
                named = [one.value for one in node.keywords if one.arg == "key"]
                made = node.args[:1] if getattr(node.func, "id", "").endswith("rule") else []
                maker = getattr(node.func, "id", "")
                given = [*(named if maker == "Rule" else []), *made]
                found |= {one.value for one in given if isinstance(one, ast.Constant)}
    return {key for key in found if isinstance(key, str) and not CONSTANT.fullmatch(key)}


def test_no_two_modules_word_the_same_key() -> None:
    """A key of two modules would take the words of the later one."""
    import importlib
    import pkgutil

    from finial.report import wording

    modules = [
        importlib.import_module(f"{wording.__name__}.{one.name}")
        for one in pkgutil.iter_modules(wording.__path__)
    ]
    keys = [key for module in modules for key in getattr(module, "WORDS", {})]
    assert sorted(keys) == sorted(set(keys))
    assert set(keys) == set(wording.WORDINGS)


def test_every_rule_has_its_words() -> None:
    missing = keys_of_rules() - set(WORDINGS)
    assert len(keys_of_rules()) > 40
    assert not missing


def test_no_key_has_words_in_two_places() -> None:
    modules = [import_module(f"{wording.__name__}.{found.name}") for found in iter_modules(wording.__path__)]
    keys = [key for module in modules for key in getattr(module, "WORDS", {})]
    assert sorted(keys) == sorted(WORDINGS)


def test_sentences_take_only_what_can_be_put_in() -> None:
    for key, said in WORDINGS.items():
        sentences = (said.title, said.why, *said.limits.values(), *said.fixes.values())
        for sentence in sentences:
            assert sentence.count("{") == sentence.count("}"), key
