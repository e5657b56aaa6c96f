"""Phrases that are still somewhere, and in how many places: it only gets less.

Written by ``python -m tests.support.words --count``.
"""

STILL: dict[str, int] = {
    "anew": 3,
    "answers to": 1,
    "as far as": 1,
    "cannot be told": 2,
    "Keep it": 1,
    "Kept": 1,
    "lacks": 6,
    "Leave it": 1,
    "look over": 2,
    "reckoned": 2,
    "scrap": 1,
    "something is suspected": 3,
    "struck out": 1,
    "take them away": 2,
    "The rescue": 3,
    "Traces": 2,
    "what it met": 4,
    "what it works by": 1,
}
