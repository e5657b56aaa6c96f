"""Wishes typed by name: a hundred homes are too many to scroll through on a phone."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import replace
from functools import cached_property

from django.http import QueryDict
from django.utils.translation import gettext as _

from builds.placing.forms import HOME, HomeAwayForm, Named, PairWishForm
from builds.placing.models.by_hand import ByHand
from builds.placing.models.case_today import RescueToday
from builds.placing.pages.words import Naming
from habitats.wording import by_number


class WishForms:
    """What was typed into them is in the address; without it they are empty."""

    def __init__(self, rescue: RescueToday, naming: Naming, query: QueryDict | None = None) -> None:
        self._rescue, self._naming = rescue, naming
        given = query if query is not None else QueryDict()
        self.pair = PairWishForm(given, self.groups, self.places)
        self.away = HomeAwayForm(given, self.homes)

    @property
    def is_refused(self) -> bool:
        return any(one.is_bound and not one.is_valid() for one in (self.pair, self.away))

    def added_to(self, by_hand: ByHand, rescue: RescueToday) -> ByHand:
        """``rescue``: as it is, or as it is imagined, where a place may be missing."""
        wished = self.away.added_to(self.pair.added_to(by_hand))
        return replace(
            wished,
            pins=tuple(one for one in wished.pins if rescue.has(one)),
            forbidden=tuple(one for one in wished.forbidden if rescue.has(one)),
        )

    @cached_property
    def groups(self) -> Named:
        """All that are placed, by name."""
        placed = [one for one in self._rescue.companions if one not in self._rescue.unjudged]
        return _told_apart((code, self._naming.group(code)) for code in placed)

    @cached_property
    def places(self) -> Named:
        """Enclosures, and then homes as a wish names them, by name."""
        words = _("anywhere in %(home)s")
        return [
            *_told_apart((code, self._naming.enclosure(code)) for code in self._rescue.offered),
            *_told_apart(
                (f"{HOME}{one.code}", words % {"home": one})
                for one in self._rescue.homes.values()
                if one.closed_on is None
            ),
        ]

    @cached_property
    def homes(self) -> Named:
        """Those that could take somebody, by name."""
        open_ones = (one for one in self._rescue.homes.values() if one.closed_on is None)
        there = (one for one in open_ones if self._rescue.absence_today(one) is None)
        return _told_apart((one.code, str(one)) for one in there)


def _told_apart(named: Iterable[tuple[str, str]]) -> list[tuple[str, str]]:
    """By name; after a name that several have stands the code of each."""
    given = sorted(named, key=lambda one: by_number(one[1]))
    times = Counter(name for _code, name in given)
    return [
        (code, name if times[name] == 1 else f"{name} ({code.removeprefix(HOME)})")
        for code, name in given
    ]
