"""Phrases that are still somewhere, and in how many places: it only gets less.

Written by ``python -m tests.support.words --count``.
"""

STILL: dict[str, int] = {
    "anew": 3,
    "answers to": 1,
    "as far as": 1,
    "back into our care": 1,
    "cannot be told": 2,
    "Find": 3,
    "for nowhere yet": 1,
    "infection suspected": 1,
    "it leaves us": 1,
    "Keep": 1,
    "Keep it": 1,
    "Kept": 1,
    "lacks": 6,
    "Leave it": 6,
    "let it be": 3,
    "look over": 2,
    "reckoned": 2,
    "scrap": 1,
    "something is suspected": 3,
    "speaks against": 4,
    "struck out": 4,
    "take one in": 2,
    "take them away": 2,
    "The rescue": 3,
    "the same goes for": 2,
    "think twice": 1,
    "To know": 2,
    "Traces": 2,
    "what it met": 4,
    "what it works by": 1,
    "who joins": 2,
    "write it down": 3,
}
