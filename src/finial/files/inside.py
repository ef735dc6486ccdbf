"""Paths named in a sheet: relative to its folder, and never outside it."""

import os
from difflib import get_close_matches
from pathlib import Path, PurePosixPath, PureWindowsPath
from typing import Any

from finial.core.errors import BuildSheetError
from finial.files.fields import as_written
from finial.files.source import TomlSource
from finial.files.toml_places import KeyPath


def file_inside(
    folder: Path,
    source: TomlSource,
    where: KeyPath,
    suffixes: tuple[str, ...],
    kind: type[BuildSheetError] = BuildSheetError,
) -> Path:
    """Return the file that a field names, relative to its source's own folder.

    Parameters
    ----------
    folder : Path
        The build sheet's folder, or that of what stands in its place; links are followed before the file
        is looked for in it.
    source : TomlSource
        The file that names it.
    where : KeyPath
        The field.
    suffixes : tuple of str
        Accepted endings, in lower case.
    kind : type of BuildSheetError
        What is raised; it knows what the file is called whose folder this is.

    Raises
    ------
    BuildSheetError
        If the path is absolute, leaves the folder, has another ending or is no file.
    """
    name: Any = source.values
    for step in where:
        name = name[step]
    given = as_written(name)
    slip = _slip_in_form(str(name))
    if not slip and PurePosixPath(str(name)).suffix.lower() not in suffixes:
        accepted = f"a file ending in {', '.join(suffixes)}"
        raise kind([source.fault(where, given=given, accepted=accepted)])
    path = source.path.parent / str(name)
    if not slip and not Path(os.path.realpath(path)).is_relative_to(os.path.realpath(folder)):
        slip = f"it leaves the folder of {kind.about}, perhaps through a link; copy the file into it"
    if slip:
        accepted = f"a path relative to this file, inside {kind.about}'s folder"
        raise kind([source.fault(where, given=given, accepted=accepted, likely_slip=slip)])
    if not path.is_file():
        fault = source.fault(
            where, given=given, accepted="a file that is there", likely_slip=_near_name(path, folder)
        )
        raise BuildSheetError([fault])
    return path


def _slip_in_form(name: str) -> str:
    if "\0" in name:
        return "it holds a zero byte"
    if "\\" in name:
        return 'write "/" between folders'
    if PurePosixPath(name).is_absolute() or PureWindowsPath(name).drive:
        return "it is an absolute path"
    return ""


def _near_name(path: Path, folder: Path) -> str:
    """Suggest a file of nearly that name anywhere in the folder's first two levels."""
    there = {
        found.name: found for pattern in ("*", "*/*") for found in folder.glob(pattern) if found.is_file()
    }
    close = get_close_matches(path.name, there, n=1, cutoff=0.7)
    return f'did you mean "{there[close[0]].relative_to(folder).as_posix()}"?' if close else ""
