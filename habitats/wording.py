"""Words put into a sentence."""

from collections.abc import Sequence


def listed(words: Sequence[str]) -> str:
    """Words or names as a sentence lists them; empty for none.

    >>> listed(["Ida", "Nut", "Bo"])
    'Ida, Nut and Bo'
    """
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"
