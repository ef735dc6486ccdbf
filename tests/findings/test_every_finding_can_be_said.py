"""Every place where a rule makes a finding gives the facts that its sentences name, whatever the verdict.

What no test reaches is read in the source: a go without the facts that its sentence names ends a whole
check, page and PDF. ``said.py`` asks the same of every finding that any test makes.
"""

import ast
from collections.abc import Iterator
from pathlib import Path
from string import Formatter
from typing import NamedTuple

import pytest

import finial.findings
from finial.report.wording import WORDINGS

FOLDER = Path(finial.findings.__file__).parent
JUDGES = frozenset({"at_least", "at_most", "holds"})
OWN = frozenset({"name", "case", "station"})
"""What every subject has."""
ANY = "**"
"""Stands for facts that another function makes, which only a run can tell."""
WHERE_TOLD = {"stays-would-help": {"reached"}}
"""Facts that are given only with the reason that names them."""


class Site(NamedTuple):
    """One call that makes a finding, the function round it, and the module's own assignments."""

    file: str
    call: ast.Call
    rule: ast.expr
    judge: str
    within: ast.AST
    module: ast.Module

    def __str__(self) -> str:
        return f"{self.file}:{self.call.lineno}"


def sites() -> Iterator[Site]:
    for path in sorted(FOLDER.rglob("*.py")):
        module = ast.parse(path.read_text(encoding="utf-8"))
        if path.name == "rule.py":
            continue
        for function in (one for one in ast.walk(module) if isinstance(one, ast.FunctionDef)):
            for call in ast.walk(function):
                match call:
                    case ast.Call(func=ast.Attribute(value=rule, attr=judge)) if judge in JUDGES:
                        yield Site(str(path.relative_to(FOLDER)), call, rule, judge, function, module)
                    case _:
                        pass


def assigned(name: str, function: ast.AST, module: ast.Module) -> list[ast.expr]:
    """Every value that a function gives the name, or the module where the function gives none."""
    for statements in (list(ast.walk(function)), module.body):
        found = [
            value
            for one in statements
            if isinstance(one, ast.Assign | ast.AnnAssign) and one.value is not None
            for target in (one.targets if isinstance(one, ast.Assign) else [one.target])
            for value in _given(target, one.value, name)
        ]
        if found:
            return found
    return []


def _given(target: ast.expr, value: ast.expr, name: str) -> list[ast.expr]:
    """Return what the name is given by an assignment: one to several names goes by place."""
    if isinstance(target, ast.Name):
        return [value] if target.id == name else []
    if isinstance(target, ast.Tuple):
        values = value.elts if isinstance(value, ast.Tuple) else [value] * len(target.elts)
        pairs = zip(target.elts, values, strict=True)
        return [found for part, one in pairs for found in _given(part, one, name)]
    return []


def texts(made: ast.AST) -> set[str]:
    return {
        one.value for one in ast.walk(made) if isinstance(one, ast.Constant) and isinstance(one.value, str)
    }


def keys_of(site: Site, rule: ast.expr) -> set[str]:
    """Keys that the rule of a call may have: texts that are keys in what made it."""
    if isinstance(rule, ast.Name):
        made = assigned(rule.id, site.within, site.module)
        return {key for one in made for key in keys_of(site, one)}
    behind = [
        value
        for name in ast.walk(rule)
        if isinstance(name, ast.Name)
        for value in assigned(name.id, site.within, site.module)
    ]
    return {text for made in (rule, *behind) for text in texts(made) if text in WORDINGS}


def facts_of(site: Site, facts: ast.expr | None, function: ast.AST | None = None) -> set[str]:
    """Return which facts are given; with ``ANY`` where a part of them comes from elsewhere."""
    function = function or site.within
    match facts:
        case None:
            return set()
        case ast.Dict(keys=keys, values=values):
            own = {
                str(key.value) if isinstance(key, ast.Constant) else ANY for key in keys if key is not None
            }
            spread = [value for key, value in zip(keys, values, strict=True) if key is None]
            return own.union(*(facts_of(site, one, function) for one in spread))
        case ast.IfExp(body=first, orelse=second):
            return _in_both(facts_of(site, first, function), facts_of(site, second, function))
        case ast.Name(id=name):
            stored = {
                str(one.slice.value)
                for one in ast.walk(function)
                if isinstance(one, ast.Subscript)
                and isinstance(one.ctx, ast.Store)
                and isinstance(one.value, ast.Name)
                and one.value.id == name
                and isinstance(one.slice, ast.Constant)
            }
            values = assigned(name, function, site.module)
            return stored.union(*(facts_of(site, one, function) for one in values)) if values else {ANY}
        case ast.Call(func=ast.Name(id=name)):
            made = [one for one in site.module.body if isinstance(one, ast.FunctionDef) and one.name == name]
            back = [(one.value, to) for to in made for one in ast.walk(to) if isinstance(one, ast.Return)]
            return set[str]().union(*(facts_of(site, one, to) for one, to in back)) if back else {ANY}
        case _:
            return {ANY}


def _in_both(first: set[str], second: set[str]) -> set[str]:
    if ANY in first or ANY in second:
        return first | second
    return first & second


def told(call: ast.Call) -> dict[str, ast.expr]:
    return {one.arg: one.value for one in call.keywords if one.arg}


def named_in(sentence: str) -> set[str]:
    return {name for _, name, _, _ in Formatter().parse(sentence) if name} - OWN


def missing(site: Site, key: str) -> set[str]:
    """Return what the sentences of a key name, in this call, that it does not give."""
    wording, given = WORDINGS[key], told(site.call)
    facts = facts_of(site, given.get("facts"))
    limit, reasons = given.get("limit"), given.get("reasons", ast.Tuple(elts=[]))
    said = [
        wording.title,
        wording.why,
        *(wording.reasons[one] for one in texts(reasons) if one in wording.reasons),
    ]
    if site.judge == "holds":
        asked = texts(limit) & wording.limits.keys() if limit else {""}
        said += [wording.limits.get(one, "") for one in asked]
    lacks = set[str]().union(*map(named_in, said)) - facts - WHERE_TOLD.get(key, set())
    for fix in ast.walk(given.get("fixes", ast.Tuple(elts=[]))):
        if isinstance(fix, ast.Call) and isinstance(fix.func, ast.Name) and fix.func.id == "Fix":
            own = told(fix)
            both = facts | facts_of(site, own.get("facts"))
            lacks |= {
                name
                for one in texts(own["key"])
                if one in wording.fixes and ANY not in both
                for name in named_in(wording.fixes[one]) - both
            }
    return set() if ANY in facts else lacks


SITES = list(sites())


def test_the_places_where_findings_are_made_are_found() -> None:
    known = [site for site in SITES if keys_of(site, site.rule)]
    assert len(SITES) > 250
    assert len(known) > 0.95 * len(SITES)


@pytest.mark.parametrize("site", SITES, ids=str)
def test_every_place_gives_the_facts_that_its_sentences_name(site: Site) -> None:
    lacks = {key: missing(site, key) for key in keys_of(site, site.rule)}
    assert not {key: names for key, names in lacks.items() if names}
