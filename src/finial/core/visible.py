"""Text of others made harmless: it stays on its line, hides nothing and turns nothing round."""

LONGEST = 200


def visible(text: str, longest: int = LONGEST) -> str:
    r"""Write every character that is not printed as an escape, and cut what is long.

    A value quoted in a refusal could otherwise clear the screen, begin a line of its own or turn
    the reading direction, and so look like a verdict.

    Examples
    --------
    >>> visible("12 mm\x1b[2J\u202eog\n")
    '12 mm\\x1b[2J\\u202eog\\n'
    >>> visible("a" * 300, longest=4)
    'aaaa...'
    """
    shown = "".join(map(_shown, text[:longest]))
    return shown if len(text) <= longest else f"{shown}..."


def is_visible(text: str) -> bool:
    r"""Say whether a text holds printed characters and blanks alone.

    Examples
    --------
    >>> is_visible("Grüner Turm"), is_visible("Turm\u2028Go")
    (True, False)
    """
    return text.isprintable()


def visible_lines(text: str, longest: int = 100_000) -> str:
    """Make each line of a message visible, and keep the lines."""
    return "\n".join(visible(line, longest) for line in text.split("\n"))


def _shown(character: str) -> str:
    if character.isprintable():
        return character
    # A lone half of a pair cannot be encoded, an escape of it can.
    return character.encode("unicode_escape").decode("ascii")
