"""Every stage of the answer with its tables and pictures, as the report has them."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from html import unescape

from finial.core.errors import MissingData
from finial.findings.readiness import Readiness
from finial.report.album import pictures
from finial.report.document import ReportSection
from finial.report.pictures.air_pictures import air_pictures
from finial.report.pictures.inside_pictures import inside_pictures
from finial.report.pictures.recovery_pictures import recovery_pictures
from finial.report.pictures.strength_pictures import strength_pictures
from finial.report.recovery_text import recovery_sections
from finial.report.stages import stage_sections
from finial.report.strength_text import strength_sections
from finial.web.inside import has_section

_TITLE, _SAYS = re.compile(r"<title[^>]*>(.*?)</title>", re.S), re.compile(r"<desc[^>]*>(.*?)</desc>", re.S)


@dataclass(frozen=True, slots=True, kw_only=True)
class StagePicture:
    """A picture, and what it shows in words."""

    name: str
    title: str
    says: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PageStage:
    """One stage: what it says in words and tables, and its pictures."""

    key: str
    title: str
    sections: tuple[ReportSection, ...]
    pictures: tuple[StagePicture, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PageStages:
    """Every stage, in the order a builder reads them."""

    stages: tuple[PageStage, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Staged:
    """The stages, and the pictures that they name as SVG text."""

    told: PageStages
    drawn: Mapping[str, str]

    def picture(self, name: str) -> str:
        """Return one picture.

        Raises
        ------
        MissingData
            If there is none of that name.
        """
        if name not in self.drawn:
            raise MissingData(f"no picture is called {name!r}")
        return self.drawn[name]


def staged(readiness: Readiness) -> Staged:
    """Tell and draw every stage; the long looks stand with the stage that they look into."""
    album = pictures(readiness)
    drawn: dict[str, str] = {}
    stages: list[PageStage] = []
    for section in stage_sections(readiness):
        if section.key == "inside" and not has_section(readiness):
            stages.append(PageStage(key=section.key, title=section.title, sections=(section,), pictures=()))
            continue
        further, theirs_too = _LOOKS.get(section.key, (_none, _no_pictures))
        theirs = {_plain(name): album[name] for name in section.pictures if name in album}
        theirs |= {_plain(name): svg for name, svg in theirs_too(readiness).items()}
        new = _new(drawn, {f"{section.key}-{name}": svg for name, svg in theirs.items()})
        drawn |= new
        stages.append(
            PageStage(
                key=section.key,
                title=section.title,
                sections=(section, *further(readiness)),
                pictures=tuple(_pictures(new)),
            )
        )
    return Staged(told=PageStages(stages=tuple(stages)), drawn=drawn)


def _new(drawn: Mapping[str, str], theirs: Mapping[str, str]) -> dict[str, str]:
    """Pictures that were not drawn before, each once: what comes first keeps it."""
    once: dict[str, str] = {}
    for name, svg in theirs.items():
        once.setdefault(svg, name)
    return {name: svg for svg, name in once.items() if svg not in drawn.values()}


def _none(_readiness: Readiness) -> tuple[ReportSection, ...]:
    return ()


def _no_pictures(_readiness: Readiness) -> dict[str, str]:
    return {}


_LOOKS = {
    "inside": (_none, inside_pictures),
    "air": (_none, air_pictures),
    "strength": (strength_sections, strength_pictures),
    "recovery": (recovery_sections, recovery_pictures),
}


def _plain(name: str) -> str:
    return name.removesuffix(".svg").replace("_", "-")


def _pictures(drawn: Mapping[str, str]) -> Iterator[StagePicture]:
    for name, svg in drawn.items():
        yield told_picture(name, svg)


def told_picture(name: str, svg: str) -> StagePicture:
    """Take a picture's own title and words out of it."""
    title, says = _TITLE.search(svg), _SAYS.search(svg)
    assert title is not None, f"{name} has a title: every picture is given one"
    assert says is not None, f"{name} says what it shows: every picture is given words"
    return StagePicture(name=name, title=unescape(title[1]), says=unescape(says[1]))
