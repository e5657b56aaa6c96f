"""Phrases that are still somewhere, and in how many places: it only gets less.

Written by ``python -m tests.support.words --count``.
"""

STILL: dict[str, int] = {
    "Kept": 1,
    "lacks": 6,
    "reckoned": 1,
    "scrap": 1,
    "struck out": 1,
    "The rescue": 1,
}
