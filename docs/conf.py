"""How the pages of this folder become a site that is read without a network: ``make docs``."""

from pathlib import Path
from typing import Any

from finial.core.version import __version__

project = "Finial"
author = "the authors of Finial"
version = release = __version__
extensions = ["myst_parser", "sphinx.ext.autodoc", "sphinx.ext.napoleon"]
source_suffix = {".md": "markdown", ".rst": "restructuredtext"}
# Links within a page lead to headings, as other readers of Markdown have them.
myst_heading_anchors = 4
# Read as data, and linked to as files.
exclude_patterns = ["*.json", "*.csv", "*.svg"]
nitpicky = False
autodoc_member_order = "bysource"
autodoc_typehints = "description"
napoleon_google_docstring = False
suppress_warnings: list[str] = []

html_theme = "furo"
html_title = f"Finial {version}"
html_show_sphinx = False
html_show_copyright = False
html_copy_source = False
html_show_sourcelink = False
# The report's own ink and blue; nothing is fetched, so letters are the reader's own.
html_theme_options = {
    "light_css_variables": {"color-brand-primary": "#0b5c94", "color-brand-content": "#0b5c94"},
    "dark_css_variables": {"color-brand-primary": "#8fc4ea", "color-brand-content": "#8fc4ea"},
}

PAGES = {
    "Begin here": ("from-three-stl-files", "gallery", "which-shapes", "the-page", "safety"),
    "How to": (
        "a-lopsided-shape",
        "a-short-fat-body",
        "weighing-and-balancing",
        "choosing-a-canopy",
        "ground-testing",
        "clear-fins-that-flap",
        "a-windy-morning",
        "two-pull-pins",
        "a-cluster",
        "tutorial-campaign",
        "after-the-flight",
        "a-zipper-by-its-log",
    ),
    "Why": ("why-balance-ahead", "what-a-band-is", "what-not-known-means", "why-the-rods", "why-a-zipper"),
    "Reference": ("sheet-reference", "tables", "commands", "checks", "python", "api", "conventions"),
    "Methods": (
        "methods",
        "methods-air",
        "methods-structure",
        "methods-flight",
        "methods-recovery",
        "methods-inside",
        "methods-printing",
        "methods-campaign",
        "many-flights-cost",
        "the-tunnel",
        "tunnel-accuracy",
        "accuracy",
    ),
    "For the next engineer": (
        "architecture",
        "packaging",
        "how-defects-were-lost",
        "twelve-odd-shapes",
        "hard-to-break",
        "changelog",
    ),
}
"""What the menu shows, in order; a page that is not there ends the build, any other comes last."""


def setup(app: Any) -> None:
    """Put the menu behind the first page, and the project's changelog in the place of its page."""
    app.connect("source-read", _menu)
    app.connect("source-read", _changelog)


def _menu(_app: Any, page: str, source: list[str]) -> None:
    if page == "index":
        listed = {"index", *(one for pages in PAGES.values() for one in pages)}
        here = {path.stem for pattern in ("*.md", "*.rst") for path in Path(__file__).parent.glob(pattern)}
        menu = {**PAGES, **({"More": sorted(here - listed)} if here - listed else {})}
        trees = [
            "\n".join(("```{toctree}", ":hidden:", f":caption: {caption}", "", *pages, "```"))
            for caption, pages in menu.items()
        ]
        source[0] += "\n\n" + "\n\n".join(trees) + "\n"


def _changelog(_app: Any, page: str, source: list[str]) -> None:
    """Its links start from the project, those of the site from its pages."""
    if page == "changelog":
        text = (Path(__file__).parents[1] / "CHANGELOG.md").read_text(encoding="utf-8")
        source[0] = text.replace("](docs/", "](")
