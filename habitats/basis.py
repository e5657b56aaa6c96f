"""What a form was based on: the facts its page showed, as one short token sent back with it.

A token holds a mark for each fact, so that a refusal can name what has changed, and leave alone
what has not. It hides nothing and proves nothing: who makes one up deceives nobody but themselves.
"""

import hashlib
from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from typing import NamedTuple

MARK_LENGTH = 12
LONGEST_TOKEN = 2_000
BETWEEN = "-"


class Fact(NamedTuple):
    """One thing that a page showed.

    ``of`` and ``name`` say of what and which; ``value`` is compared; ``label`` and ``words`` are
    for people: "Lives in", "North wall".
    """

    of: str
    name: str
    label: str
    value: str
    words: str

    @property
    def mark(self) -> str:
        text = "\0".join((self.of, self.name, self.value))
        return hashlib.sha256(text.encode()).hexdigest()[:MARK_LENGTH]

    def with_value(self, value: object) -> "Fact":
        return self._replace(value=plain(value))


def token_of(facts: Iterable[Fact]) -> str:
    """What a page sends along, to be held against the facts when it comes back."""
    return BETWEEN.join(fact.mark for fact in facts)


def marks_in(token: str) -> frozenset[str]:
    """Empty for no token, or for more than any page sends."""
    return frozenset(token.split(BETWEEN) if 0 < len(token) <= LONGEST_TOKEN else ())


def changed_since(token: str, facts: Iterable[Fact]) -> list[Fact]:
    """The facts, as they are now, that the token does not know; none without a token."""
    marks = marks_in(token)
    return [fact for fact in facts if fact.mark not in marks] if marks else []


def plain(value: object) -> str:
    """A value of a row or of a form as text, so that the same is the same.

    >>> plain(" Wren\\r\\n"), plain(None), plain(True), plain(Decimal("5.00"))
    ('Wren', '', 'yes', '5')
    """
    if value is None or value is False:
        return ""
    if value is True:
        return "yes"
    if isinstance(value, Decimal):
        return format(value.normalize(), "f")
    if isinstance(value, date):
        return value.isoformat()
    return str(value).replace("\r\n", "\n").strip()
