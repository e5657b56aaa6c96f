"""The home that somebody draws for: searched by name or code, as it was typed."""

from typing import NamedTuple

from habitats.homes.models.homes import Home
from habitats.people.models.people import Person

MOST_FOUND = 6


class TargetHome(NamedTuple):
    """``home`` None: none was asked for, none was found, or ``several`` were."""

    asked: str = ""
    home: Home | None = None
    several: tuple[Home, ...] = ()

    @classmethod
    def searched(cls, words: str, person: Person) -> "TargetHome":
        if not words:
            return cls()
        open_to = Home.objects.visible_to(person).live()
        found = tuple(open_to.named_like(words).by_name()[: MOST_FOUND + 1])
        exact = [one for one in found if words.upper() == one.code or words == one.own_id]
        if exact or len(found) == 1:
            return cls(words, (exact or found)[0])
        return cls(words, None, found[:MOST_FOUND])

    @property
    def is_unknown(self) -> bool:
        return bool(self.asked) and self.home is None and not self.several
