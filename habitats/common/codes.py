"""Codes: what homes, animals, enclosures and designs are called by in print and in addresses."""

import secrets

# Without vowels, so that no code spells a word, and without marks that look alike in print.
CODE_MARKS = "23456789BCDFGHJKMNPQRSTVWXZ"
CODE_LENGTH = 6
# What a rescue numbers its homes, animals and enclosures by, in lists that it had before.
LONGEST_OWN_ID = 40


def new_code() -> str:
    return "".join(secrets.choice(CODE_MARKS) for _ in range(CODE_LENGTH))
