"""Ask of a value read from TOML or JSON what it is; both know text keys only."""

from typing import Any, TypeGuard


def is_table(value: object) -> TypeGuard[dict[str, Any]]:
    """Say whether a value is a table (an object in JSON).

    Parameters
    ----------
    value : object
        As the reader of the file returned it.

    Returns
    -------
    is_table : bool
        True for a dictionary, whose keys are then known to be text.

    Examples
    --------
    >>> is_table({"name": "bay"}), is_table(["bay"])
    (True, False)
    """
    return isinstance(value, dict)


def is_list(value: object) -> TypeGuard[list[Any]]:
    """Say whether a value is a list.

    Parameters
    ----------
    value : object
        As the reader of the file returned it.

    Returns
    -------
    is_list : bool
        True for a list, of values of any type.

    Examples
    --------
    >>> is_list(["bay"]), is_list("bay")
    (True, False)
    """
    return isinstance(value, list)
