"""Phrases that are still somewhere, and in how many places: it only gets less.

Written by ``python -m tests.support.words --count``.
"""

STILL: dict[str, int] = {
    "anew": 2,
    "Kept": 1,
    "lacks": 6,
    "Leave it": 1,
    "look over": 1,
    "reckoned": 2,
    "scrap": 1,
    "something is suspected": 3,
    "struck out": 1,
    "The rescue": 1,
    "Traces": 2,
    "what it met": 4,
}
