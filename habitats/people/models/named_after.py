"""What is called after somebody who is to be erased, such as a pool at their home.

Nobody but the rescue can give it another name: the page that erases lists it, with where to do so.
"""

import re
from collections.abc import Iterable
from typing import NamedTuple

from django.db.models import Q
from django.dispatch import Signal

# Gives ``names``, a ``NameSearch``; a receiver returns a list of ``NamedAfter``.
named_after_asked = Signal()


class NamedAfter(NamedTuple):
    """``kind``: what it is, as a label; ``address``: where its name is changed."""

    kind: str
    name: str
    address: str


class NameSearch:
    """Finds texts in which one of the names stands as a word, with or without an ending for whose
    it is: “Fay's laundry”, “Fays Wäsche”.
    """

    def __init__(self, names: Iterable[str]) -> None:
        self.names = sorted({name.strip() for name in names} - {""})
        words = "|".join(map(re.escape, self.names)) or "(?!)"
        self._words = re.compile(rf"(?<!\w)(?:{words})(?:['’]?s|['’])?(?!\w)", re.IGNORECASE)

    def within(self, field: str) -> Q:
        """Rows among which those are that stand in it; ``stands_in`` says which."""
        found = Q(pk__in=[])
        for name in self.names:
            found |= Q(**{f"{field}__icontains": name})
        return found

    def stands_in(self, text: str) -> bool:
        return self._words.search(text) is not None


def named_after(names: Iterable[str]) -> list[NamedAfter]:
    answers = named_after_asked.send(NameSearch, names=NameSearch(names))
    return [one for _receiver, found in answers for one in found or ()]  # type: ignore[misc]
