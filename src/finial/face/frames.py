"""Rows as a pandas table, where pandas is installed."""

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Any

from finial.core.errors import MissingData

if TYPE_CHECKING:
    import pandas


def frame(rows: Iterable[Mapping[str, Any]] | Mapping[str, Any]) -> "pandas.DataFrame":
    """Return rows, or columns by name, as a table.

    Raises
    ------
    MissingData
        If pandas is not installed.
    """
    try:
        import pandas
    except ImportError as error:
        raise MissingData("tables need pandas: pip install 'finial[notebook]'") from error
    return pandas.DataFrame(rows if isinstance(rows, Mapping) else list(rows))
