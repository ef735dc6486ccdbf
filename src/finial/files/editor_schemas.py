"""Schemas laid beside a project's files, where editors of TOML look for them.

The first line of a file, ``#:schema ./schemas/build-sheet.schema.json``, is a comment to every reader of
TOML; editors that complete and check TOML take the schema from there.
"""

from importlib.resources import files
from os.path import relpath
from pathlib import Path

from finial.files.sheet_rows import BUILD_SHEET, MOTOR_FILE, SHEET_FILES, SITE_FILE, SheetFile
from finial.files.source import read_toml
from finial.files.write import make_folder, write_atomically

FOLDER = "schemas"
DIRECTIVE = "#:schema "


def shipped_schema(file: SheetFile) -> str:
    """Return the schema of a kind of file as it ships."""
    return (files("finial.files") / FOLDER / schema_name(file)).read_text(encoding="utf-8")


def schema_name(file: SheetFile) -> str:
    """Return the file name of a schema."""
    return f"{file.name}.schema.json"


def lay_schemas(sheet: Path) -> None:
    """Write the schemas beside a build sheet, and name them in it and in the files of its motor and site.

    Raises
    ------
    BuildSheetError
        If the sheet cannot be read as TOML.
    """
    values = read_toml(sheet).values
    folder = sheet.parent / FOLDER
    make_folder(folder, sheet.parent)
    for file in SHEET_FILES:
        write_atomically(folder / schema_name(file), shipped_schema(file).encode())
    _name_schema(sheet, folder, BUILD_SHEET)
    for table, key, file in (("motor", "data", MOTOR_FILE), ("launch", "site", SITE_FILE)):
        # A sheet that is only begun has neither yet.
        if table in values:
            _name_schema(sheet.parent / values[table][key], folder, file)


def _name_schema(path: Path, folder: Path, file: SheetFile) -> None:
    text = path.read_bytes()
    if text.startswith(DIRECTIVE.encode()):
        return
    schema = Path(relpath(folder / schema_name(file), path.parent)).as_posix()
    schema = schema if schema.startswith("..") else f"./{schema}"
    write_atomically(path, f"{DIRECTIVE}{schema}\n".encode() + text)
