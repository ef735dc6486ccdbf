"""Names of files that every system takes."""

import re


def plain_name(words: str) -> str:
    """Reduce words to small letters, digits and hyphens.

    Examples
    --------
    >>> plain_name("fin Main / left.")
    'fin-main-left'
    """
    return re.sub(r"[^\w.]+", "-", words.lower()).strip("-.")
