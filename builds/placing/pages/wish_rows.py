"""What the coordinator wants otherwise, each with the address of the page without it."""

from collections.abc import Iterator
from dataclasses import replace
from typing import NamedTuple

from django.urls import reverse
from django.utils.translation import gettext as _

from builds.placing.forms import query_of
from builds.placing.models.by_hand import ByHand
from builds.placing.models.case_today import RescueToday
from builds.placing.pages.words import Naming
from habitats.placement.values import USUAL_ORDER, Goal, Pin
from habitats.placement.words import AIMS


class WishByHand(NamedTuple):
    """Something wanted by hand; ``without``: the page without it.

    ``absence``: where days away of this home are recorded, which every page then knows; empty:
    it is about no home.
    """

    words: str
    without: str
    absence: str = ""


class GoalStep(NamedTuple):
    """One goal in their order; ``earlier``: the page with it one place further up, empty for the
    first."""

    name: str
    earlier: str


class Wishes:
    def __init__(self, by_hand: ByHand, rescue: RescueToday, naming: Naming) -> None:
        self._by_hand, self._rescue, self._naming = by_hand, rescue, naming

    def address(self, **more: str) -> str:
        """Of the page with these wishes, and what is asked besides."""
        return query_of(self._by_hand, self._rescue.what_if, **more)

    def _with(self, by_hand: ByHand) -> str:
        return query_of(by_hand, self._rescue.what_if)

    def rows(self) -> list[WishByHand]:
        return [*self._pairs(), *self._away()]

    def _pairs(self) -> Iterator[WishByHand]:
        by_hand = self._by_hand
        for pin in by_hand.pins:
            pins = tuple(one for one in by_hand.pins if one != pin)
            words = _("%(group)s: in %(place)s") % self._named(pin)
            yield WishByHand(words, self._with(replace(by_hand, pins=pins)))
        for pin in by_hand.forbidden:
            forbidden = tuple(one for one in by_hand.forbidden if one != pin)
            words = _("%(group)s: not in %(place)s") % self._named(pin)
            yield WishByHand(words, self._with(replace(by_hand, forbidden=forbidden)))

    def _away(self) -> Iterator[WishByHand]:
        for code in sorted(self._by_hand.away):
            words = _("%(home)s takes nobody") % {"home": self._rescue.homes[code]}
            away = self._by_hand.away - {code}
            absence = reverse("new_absence", args=[code])
            yield WishByHand(words, self._with(replace(self._by_hand, away=away)), absence)

    def _named(self, pin: Pin) -> dict[str, str]:
        place = self._naming.anything(pin.enclosure or pin.home or "")
        return {"group": self._naming.group(pin.group), "place": place}

    def pinned(self, pin: Pin) -> str:
        """The page with this wish as well: who is to stay somewhere is ruled out nowhere."""
        pins = tuple(one for one in self._by_hand.pins if one.group != pin.group)
        return self._with(replace(self._by_hand, pins=(*pins, pin)))

    def forbidding(self, pin: Pin) -> str:
        return self._with(replace(self._by_hand, forbidden=(*self._by_hand.forbidden, pin)))

    @property
    def other_company(self) -> str:
        """The page with those proposed who could live together; or without, where it has them."""
        is_together = not self._by_hand.is_together
        return self._with(replace(self._by_hand, is_together=is_together))

    # --- The order of the goals ---

    @property
    def goals(self) -> list[GoalStep]:
        order = self._by_hand.order
        return [GoalStep(str(AIMS[one]), self._earlier(order, one)) for one in order]

    def _earlier(self, order: tuple[Goal, ...], goal: Goal) -> str:
        at = order.index(goal)
        if not at:
            return ""
        moved = (*order[: at - 1], goal, order[at - 1], *order[at + 1 :])
        return f"{self._with(replace(self._by_hand, order=moved))}#order"

    @property
    def usual_order(self) -> str:
        """The page with the usual order; empty where it is that."""
        if self._by_hand.order == USUAL_ORDER:
            return ""
        return f"{self._with(replace(self._by_hand, order=USUAL_ORDER))}#order"
