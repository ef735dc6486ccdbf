"""No key is read and then forgotten: somewhere beyond the reader somebody asks for each by its name.

A name that several tables share counts for all of them: this finds the key that nobody uses, not every one.
"""

import ast
from pathlib import Path

import pytest

import finial
from finial.files.sheet_rows import SHEET_FILES, rows_of

ROOT = Path(finial.__file__).parent
BY_NAME = {"limits", "scatter"}
"""Tables whose keys are looked up by a name in quotes, as files are followed."""
ROWS = [(file, row) for file in SHEET_FILES for row in rows_of(file)]


@pytest.fixture(scope="module")
def asked() -> tuple[set[str], set[str]]:
    """Every attribute that the package asks for, and every text in quotes."""
    attributes, texts = set(), set()
    for path in ROOT.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Attribute) and isinstance(node.ctx, ast.Load):
                attributes.add(node.attr)
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                texts.add(node.value)
    return attributes, texts


@pytest.mark.parametrize(("file", "row"), ROWS, ids=[f"{file.name}:{row.dotted}" for file, row in ROWS])
def test_a_key_is_asked_for(asked, file, row):
    attributes, texts = asked
    by_name = row.path[0] in BY_NAME or row.key.value.names == "file"
    known = attributes | texts if by_name else attributes
    assert row.path[-1] in known
