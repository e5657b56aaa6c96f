"""What if: asked without saving anything, and answered in words beside the board."""

from collections.abc import Iterator
from typing import NamedTuple

from django.utils.translation import gettext as _

from builds.placing.forms import asked_of, pairs_of, query_of
from builds.placing.models.asked import asking_for_pairs, pairs_asked
from builds.placing.models.by_hand import ByHand
from builds.placing.models.case_today import RescueToday
from builds.placing.pages.at_hand import NotAtHand, RunShown, at_once
from builds.placing.pages.placing_page import Ask, PlacingPage
from habitats.homes.models.homes import Home
from habitats.placement.questions import Answer
from habitats.placement.room_for_more import RoomForMore
from habitats.placement.values import Contradiction
from habitats.structure.design import Species
from habitats.welfare.space import ANIMAL_WORDS


class ChoiceHere(NamedTuple):
    value: str
    name: str
    is_chosen: bool


class WhatIfAnswer:
    """``today``: the page as things are. ``page``: the page as they would be, the same where
    nothing is imagined."""

    def __init__(
        self, today: PlacingPage, page: PlacingPage, by_hand: ByHand, ask: Ask = at_once
    ) -> None:
        self._today, self._page, self._by_hand = today, page, by_hand
        self._rescue: RescueToday = page.rescue
        self.asked = self._rescue.what_if
        self.working = today.working or page.working
        self._room = self._room_for_more(ask)

    def _room_for_more(self, ask: Ask) -> Answer:
        """None: nobody asks, no standard is chosen, or it is worked out still."""
        species = self.asked.pairs
        question = pairs_asked(self._rescue, self._by_hand, species) if species else None
        if question is None:
            return None
        try:
            return ask(asking_for_pairs(self._rescue, self._by_hand), question)
        except NotAtHand as missing:
            query = query_of(self._by_hand, self.asked)
            self.working = self.working or RunShown(missing.run, query)
            return None

    def __bool__(self) -> bool:
        return bool(self.asked or self.asked.pairs)

    # --- What is asked ---

    @property
    def words(self) -> list[str]:
        return list(self._words())

    def _words(self) -> Iterator[str]:
        asked, homes = self.asked, self._rescue.homes
        offer = self._rescue.designs.get(asked.design)
        if asked.number and offer:
            home = homes.get(asked.home)
            own = _("%(number)d more “%(design)s” in a home of its own")
            words = _("%(number)d more “%(design)s” in %(home)s") if home else own
            yield words % {"number": asked.number, "design": offer.design.name, "home": home}
        for code in sorted(asked.gone & homes.keys()):
            yield self._gone(homes[code])

    def _gone(self, home: Home) -> str:
        absence = self._rescue.absences.get(home.pk)
        if absence is None:
            return _("%(home)s away, with all its enclosures") % {"home": home}
        words = _("%(home)s away, with all its enclosures (recorded: %(absence)s)")
        return words % {"home": home, "absence": absence.words}

    @property
    def without(self) -> str:
        """The page with nothing imagined."""
        return query_of(self._by_hand)

    # --- What would be ---

    @property
    def told(self) -> list[str]:
        is_known = not (self._today.working or self._page.working)
        compared = self._compared() if self.asked and is_known else iter(())
        return [*self._passed_over(), *compared, *self._pairs()]

    def _passed_over(self) -> Iterator[str]:
        """Wishes that cannot hold while a home is imagined away."""
        rescue, naming = self._rescue, self._today.naming
        for pin in self._by_hand.pins:
            if not rescue.has(pin):
                yield _("Your wish “%(group)s: in %(place)s” does not hold meanwhile.") % {
                    "group": naming.group(pin.group),
                    "place": naming.anything(pin.enclosure or pin.home or ""),
                }

    def _compared(self) -> Iterator[str]:
        before, after = self._today, self._page
        now, then = before.groups_waiting, after.groups_waiting
        yield _("Groups without a place that suits them: %(then)d instead of %(now)d.") % {
            "then": len(then),
            "now": len(now),
        }
        naming = after.naming
        if placed := now - then:
            yield _("With a place then: %(groups)s.") % {"groups": naming.groups(sorted(placed))}
        if left := then - now:
            yield _("Without a place then: %(groups)s.") % {"groups": naming.groups(sorted(left))}
        yield _("Groups that move: %(then)d instead of %(now)d.") % {
            "then": after.groups_moving,
            "now": before.groups_moving,
        }

    def _pairs(self) -> Iterator[str]:
        species = self.asked.pairs
        if species is None:
            return
        words = {"animals": ANIMAL_WORDS[species][1]}
        if self._rescue.rules[species] is None:
            yield _("Choose a space standard for %(animals)s first.") % words
            return
        room = self._room
        if isinstance(room, Contradiction):
            yield _("Your wishes do not hold with the enclosures that stand. Take them back first.")
        if not isinstance(room, RoomForMore):
            return
        yield _("Pairs of %(animals)s that could be taken as everybody lives now: %(number)d.") % {
            **words,
            "number": room.as_they_live,
        }
        if room.with_moves > room.as_they_live:
            yield _("If settled groups moved, %(moves)d of them: %(number)d.") % {
                "moves": room.moves,
                "number": room.with_moves,
            }
        yield _("Those who wait now have their places before; each pair has one of its own.")

    # --- The form ---

    @property
    def designs(self) -> list[ChoiceHere]:
        found = self._rescue.designs.items()
        named = [
            ChoiceHere(code, one.design.name, code == self.asked.design) for code, one in found
        ]
        return sorted(named, key=lambda one: one.name)

    @property
    def homes(self) -> list[ChoiceHere]:
        found = [one for one in self._rescue.homes.values() if one.closed_on is None]
        named = [ChoiceHere(one.code, str(one), one.code == self.asked.home) for one in found]
        return sorted(named, key=lambda one: one.name)

    @property
    def species(self) -> list[ChoiceHere]:
        return [
            ChoiceHere(one.value, str(ANIMAL_WORDS[one][1]), one is self.asked.pairs)
            for one in Species
        ]

    @property
    def fields(self) -> list[tuple[str, str]]:
        """All that is asked, as fields of a form."""
        return asked_of(self.asked)

    @property
    def kept(self) -> list[tuple[str, str]]:
        """The wishes, and who is away, as fields of a form."""
        gone = [one for one in asked_of(self.asked) if one[0] == "gone"]
        return [*pairs_of(self._by_hand), *gone]
