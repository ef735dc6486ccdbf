"""Blocks of code on a page of Markdown."""

import re
from pathlib import Path

BLOCK = re.compile(r"^```(\w*)\n(.*?)^```$", flags=re.MULTILINE | re.DOTALL)


def blocks(page: Path) -> list[tuple[str, str]]:
    """Each block's language and body, in their order."""
    return BLOCK.findall(page.read_text(encoding="utf-8"))


def bodies(page: Path, language: str) -> list[str]:
    """Bodies of the blocks in one language."""
    return [body for kind, body in blocks(page) if kind == language]
