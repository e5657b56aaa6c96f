"""Several codes in one column, such as the pets of a home: in the order in which they are offered.

The database knows every choice (``every_choice`` in a constraint), so none is stored twice or
unknown.
"""

from collections.abc import Iterable
from itertools import combinations

BETWEEN = ","


def codes_joined(codes: Iterable[str], known: Iterable[str]) -> str:
    """What the column has of them; empty for none."""
    given = set(codes)
    return BETWEEN.join(one for one in known if one in given)


def codes_of(joined: str) -> list[str]:
    return joined.split(BETWEEN) if joined else []


def every_choice(known: Iterable[str], *, least: int = 0) -> list[str]:
    """All that such a column may hold; ``least``: how many there must be."""
    codes = list(known)
    some = (chosen for most in range(least, len(codes) + 1) for chosen in combinations(codes, most))
    return [BETWEEN.join(one) for one in some]
