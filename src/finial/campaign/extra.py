"""Optional libraries, asked for only where they are used."""

import importlib
from types import ModuleType

from finial.core.errors import MissingData

_EXTRAS = {"pyarrow": "campaign", "duckdb": "campaign", "distributed": "cluster"}


def needed(module: str) -> ModuleType:
    """Import an optional library.

    Raises
    ------
    MissingData
        If it is not installed; says how to get it.
    """
    try:
        return importlib.import_module(module)
    except ModuleNotFoundError as error:
        extra = _EXTRAS[module.split(".")[0]]
        raise MissingData(
            f"{module.split('.')[0]} is not installed: pip install 'finial[{extra}]' brings it"
        ) from error
