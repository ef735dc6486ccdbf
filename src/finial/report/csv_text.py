"""Text in CSV files."""


def harmless(text: str) -> str:
    """Text that no table program takes for a formula.

    Examples
    --------
    >>> harmless("=1+1"), harmless("tower")
    ("'=1+1", 'tower')
    """
    return f"'{text}" if text[:1] in ("=", "+", "-", "@", "\t", "\r") else text
