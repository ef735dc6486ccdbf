"""The page's types are those of the server's records."""

import importlib.util
from pathlib import Path
from types import ModuleType

import pytest

FRONTEND = Path(__file__).parents[2] / "frontend"


@pytest.fixture(scope="module")
def maker() -> ModuleType:
    spec = importlib.util.spec_from_file_location("make_records", FRONTEND / "make_records.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_the_page_s_types_are_up_to_date(maker: ModuleType) -> None:
    assert (FRONTEND / "src" / "records.ts").read_text(encoding="utf-8") == maker.text(), (
        "run: python frontend/make_records.py"
    )


def test_types_say_what_the_records_say(maker: ModuleType) -> None:
    text = maker.text()
    assert "export interface FindingCard extends Finding {\n  followers: Finding[];\n}" in text
    assert "  fins: FinControl | null;\n" in text
    assert "  facts: [string, string][];\n" in text
    assert 'export type JobState = "waiting" | "running"' in text
