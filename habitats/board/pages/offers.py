"""Who could take newcomers today, as cards; and why others are not offered."""

from collections.abc import Iterator
from typing import NamedTuple

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from habitats.board.pages.cards import Card, SpaceView, with_dues
from habitats.readings.models.placing import RoomFound, room_today
from habitats.readings.models.readings import Reading
from habitats.traces.models.tracing import suspected_now
from habitats.welfare.declining import WHY_WORDS, Why
from habitats.welfare.holding import MOST_TRIED
from habitats.welfare.newcomers import Newcomers
from habitats.welfare.placing import Declined, RoomOffer

MOST_CARDS = 30  # of free ones, and of groups
MOST_NAMED = 15  # of those not offered, for one reason


class OfferedCard(NamedTuple):
    """``takes``: how many such newcomers, in words; empty where that cannot be told."""

    card: Card
    takes: str
    cautions: tuple[str, ...]


class NotOffered(NamedTuple):
    """One that is not offered. ``more``: what its reason leaves out; empty where it says all."""

    reading: Reading
    more: str


class RefusedFor(NamedTuple):
    """All that are not offered for one reason, the first of them by name."""

    reason: str
    refused: tuple[NotOffered, ...]
    number: int

    @property
    def left_out(self) -> int:
        return self.number - len(self.refused)


class RoomAnswer(NamedTuple):
    newcomers: Newcomers
    free: list[OfferedCard]
    groups: list[OfferedCard]
    left_out: int
    refused: list[RefusedFor]
    refused_in_all: int


def answer_to(newcomers: Newcomers, shown: SpaceView) -> RoomAnswer:
    found = room_today(
        newcomers,
        shown.today,
        suspected_now(shown.today),
        most_offers=MOST_CARDS,
        most_declined=MOST_NAMED,
    )
    with_dues([found.readings[one.enclosure] for one in (*found.free, *found.groups)], shown.today)
    return RoomAnswer(
        newcomers,
        [_card(one, found, shown) for one in found.free],
        [_card(one, found, shown) for one in found.groups],
        found.left_out,
        list(_refused(found)),
        sum(one.number for one in found.declined),
    )


def _card(offer: RoomOffer, found: RoomFound, shown: SpaceView) -> OfferedCard:
    cautions = tuple(str(one.sentence) for one in offer.cautions)
    return OfferedCard(shown.card(found.readings[offer.enclosure]), _takes(offer), cautions)


def _takes(offer: RoomOffer) -> str:
    number = offer.takes
    if number is None:
        return ""
    if number >= MOST_TRIED:
        return _("takes %(number)d or more") % {"number": number}
    if offer.group is None:
        return _("takes %(number)d") % {"number": number}
    return ngettext("takes %(number)d more", "takes %(number)d more", number) % {"number": number}


def _refused(found: RoomFound) -> Iterator[RefusedFor]:
    """Reason by reason, the nearest to fitting first; what holds for all newcomers is said once."""
    for one in sorted(found.declined, key=lambda one: -list(Why).index(one.why)):
        named = tuple(NotOffered(found.readings[two.enclosure], _more(two)) for two in one.first)
        is_of_all = one.first[0].group is None
        sentence = one.first[0].sentence if is_of_all else ""
        yield RefusedFor(str(sentence or WHY_WORDS[one.why]), named, one.number)


def _more(declined: Declined) -> str:
    if declined.group and declined.sentence:
        return str(declined.sentence)
    if not declined.takes:
        return ""
    if declined.group is None:
        return _("takes %(number)d") % {"number": declined.takes}
    return ngettext("takes %(number)d more", "takes %(number)d more", declined.takes) % {
        "number": declined.takes
    }
