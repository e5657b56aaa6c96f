"""The second-best place of one group: where, what it costs, and the page with it."""

from typing import NamedTuple

from django.utils.translation import gettext as _

from builds.placing.pages.wish_rows import Wishes
from builds.placing.pages.words import Naming
from builds.store.models.costs import as_amount
from habitats.money import money
from habitats.placement.comparing import differences
from habitats.placement.values import Pin, Placing
from habitats.rescue.models.rescue import Rescue
from habitats.wording import joined


class NextBest(NamedTuple):
    """``address``: the page with it wanted; empty where there is none."""

    words: str
    costs: str
    address: str


def next_best(
    placing: Placing, found: Placing | None, ref: str, naming: Naming, wishes: Wishes
) -> NextBest:
    """``found``: the best placing in which the group lives elsewhere; None: there is none."""
    stay = next((one for one in found.stays if ref in one.groups), None) if found else None
    if found is None or stay is None:
        return NextBest(_("There is no other place for them."), "", "")
    place = stay.place
    if place is None:
        return NextBest(_("Next best: they wait."), _costs(placing, found), "")
    pin = Pin(ref, place.enclosure, None if place.enclosure else place.home)
    words = _("Next best: %(place)s.") % {"place": naming.place(place)}
    return NextBest(words, _costs(placing, found), wishes.pinned(pin))


def _costs(placing: Placing, other: Placing) -> str:
    told = differences(placing, other, _money)
    if not told:
        return _("It is equally good.")
    return _("It costs: %(costs)s.") % {"costs": joined("; ", told)}


def _money(cents: int) -> str:
    return money(as_amount(cents), Rescue.our_currency())
