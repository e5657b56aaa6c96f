"""What a placing would have built, and what is being built, each for whom."""

from collections.abc import Sequence
from typing import NamedTuple

from django.urls import reverse
from django.utils.translation import gettext as _

from builds.placing.forms import BETWEEN
from builds.placing.models.builds_today import DesignOffer
from builds.placing.models.case_today import RescueToday
from builds.plans.models.builds import Build
from builds.store.models.costs import PricedNeeds, priced
from builds.store.models.needs import QUICK, Shelf, all_needs, items_of
from habitats import measures
from habitats.homes.models.homes import Home
from habitats.money import money
from habitats.placement.values import PlaceToLive


class ProposedBuild(NamedTuple):
    """``address``: of the design, or of the build that is under way. ``key``: design and home,
    to be sent; empty where it is under way. ``caution``: what to look at before."""

    words: str
    material: str
    store: str
    address: str
    key: str
    caution: str


class ProposedBuilds:
    def __init__(self, rescue: RescueToday, units: str, currency: str) -> None:
        self._rescue, self._units, self._currency = rescue, units, currency

    def of(self, place: PlaceToLive) -> ProposedBuild | None:
        """None where the place stands already."""
        if place.design is not None and place.home is not None:
            return self._new(self._rescue.designs[place.design], self._rescue.homes[place.home])
        one = self._rescue.to_come.get(place.enclosure or "")
        return _under_way(one.build, one.home) if one and one.build and one.home else None

    def _new(self, offer: DesignOffer, home: Home) -> ProposedBuild:
        words = _("Build “%(design)s” at %(home)s") % {"design": offer.design.name, "home": home}
        return ProposedBuild(
            words,
            self._material(offer.price),
            _store(offer.price),
            reverse("builds:design", args=[offer.design.code]),
            f"{offer.design.code}{BETWEEN}{home.code}",
            self._unmeasured(offer, home),
        )

    def _material(self, price: PricedNeeds) -> str:
        if price.cost.has_no_price:
            return _("Nothing it takes has a price yet.")
        words = {"money": money(price.material, self._currency)}
        if price.cost.material_unknown:
            return _("Material: %(money)s, and some parts without a price.") % words
        return _("Material: %(money)s.") % words

    def _unmeasured(self, offer: DesignOffer, home: Home) -> str:
        if home.fits(*offer.sides_mm) is not None:
            return ""
        sides = measures.size(offer.sides_mm, measures.lengths_in(self._units))
        return _("Nobody has measured %(home)s: make sure that %(sides)s fit there.") % {
            "home": home,
            "sides": sides,
        }


def bought_together(offers: Sequence[DesignOffer], currency: str) -> str:
    """What is to be bought for all of these builds; empty for one, which tells it itself."""
    if len(offers) < 2:
        return ""
    shelf = Shelf(QUICK)
    price = priced(all_needs((items_of(one.structure, shelf), 1) for one in offers))
    values = {
        "number": len(offers),
        "parts": ", ".join(str(one) for one in price.short),
        "money": money(price.to_buy, currency),
    }
    if price.has_all:
        words = _("All %(number)d builds together: all parts are in the store.")
    elif not price.cost.buy_cents:
        words = _("All %(number)d builds together: buy %(parts)s.")
    elif any(line.unfilled for line in price.cost.lines) or price.cost.lacking:
        words = _(
            "All %(number)d builds together: buy %(parts)s, for %(money)s and some parts without "
            "a price."
        )
    else:
        words = _("All %(number)d builds together: buy %(parts)s, for %(money)s.")
    return words % values


def _under_way(build: Build, home: Home) -> ProposedBuild:
    words = _("“%(build)s” is being built for %(home)s") % {"build": build, "home": home}
    return ProposedBuild(words, "", "", reverse("builds:build", args=[build.code]), "", "")


def _store(price: PricedNeeds) -> str:
    if price.has_all:
        return _("All parts are in the store.")
    return _("To buy: %(parts)s.") % {"parts": ", ".join(str(one) for one in price.short)}
