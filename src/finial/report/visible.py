"""Make words from a build sheet fit to be shown: no control characters, no reversed writing."""

import unicodedata

_ALLOWED = {"\n": " ", "\t": " ", "\r": " "}


def visible(text: str) -> str:
    r"""Replace what a terminal or a page would obey instead of show.

    Line breaks become blanks. Escape sequences could recolour or rewrite the lines above,
    and direction marks could turn a no-go round: both become the replacement mark.

    Examples
    --------
    >>> visible("red\x1b[31m tower")
    'red�[31m tower'
    """
    return "".join(_ALLOWED.get(letter) or (letter if _is_shown(letter) else "\ufffd") for letter in text)


def _is_shown(letter: str) -> bool:
    # Cc control, Cf formatting such as direction marks, Cs half characters, Cn not characters at all.
    return unicodedata.category(letter) not in {"Cc", "Cf", "Cs", "Cn"}
