"""Text in CSV files."""

import csv
import io

from finial.report.document import Table


def table_csv(table: Table) -> str:
    r"""Write a table as CSV text.

    Examples
    --------
    >>> table_csv(Table(title="", columns=("from", "to"), rows=(("0 mm", "5 mm"),)))
    'from,to\n0 mm,5 mm\n'
    """
    stream = io.StringIO()
    csv.writer(stream, lineterminator="\n").writerows((table.columns, *table.rows))
    return stream.getvalue()


def harmless(text: str) -> str:
    """Text that no table program takes for a formula.

    Examples
    --------
    >>> harmless("=1+1"), harmless("tower")
    ("'=1+1", 'tower')
    """
    return f"'{text}" if text[:1] in ("=", "+", "-", "@", "\t", "\r") else text
