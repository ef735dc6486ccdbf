"""The bill of materials is that of the lock: every package with its licence, every reference to one there."""

import importlib.util
import json
import re
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def maker():
    spec = importlib.util.spec_from_file_location("make_sbom", ROOT / "docs" / "make_sbom.py")
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="module")
def bill(maker):
    return json.loads(maker.PAGE.read_text(encoding="utf-8"))


def test_the_committed_bill_is_what_the_lock_gives(maker):
    assert maker.PAGE.read_text(encoding="utf-8") == maker.text(), "run: python docs/make_sbom.py"


def test_every_package_of_the_lock_is_in_it(bill):
    lock = (ROOT / "requirements.lock").read_text(encoding="utf-8")
    pinned = re.findall(r"^([\w.-]+)==([\w.]+)", lock, flags=re.MULTILINE)
    assert len(pinned) > 30
    listed = {(one["name"], one["version"]) for one in bill["components"]}
    assert listed == {(name.replace("_", "-").lower(), version) for name, version in pinned}
    assert all(one["licenses"][0]["license"]["name"].strip() for one in bill["components"])


def test_every_reference_leads_to_a_component(bill):
    refs = [one["bom-ref"] for one in bill["components"]]
    assert len(refs) == len(set(refs))
    known = {"finial", *refs}
    assert {one["ref"] for one in bill["dependencies"]} == known
    asked = {each for one in bill["dependencies"] for each in one["dependsOn"]}
    assert asked <= known
    # Nothing lies in the lock that nobody asked for.
    assert asked == set(refs)
