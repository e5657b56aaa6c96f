"""What the address of the page says of the coordinator's own wishes."""

from collections.abc import Iterable, Iterator

from django.http import QueryDict

from builds.placing.models.case_today import ByHand, RescueToday
from habitats.placement.values import Pin

BETWEEN = "."  # codes hold letters and figures only
MOST = 200  # wishes; more is no page that anybody made


def by_hand_in(query: QueryDict, rescue: RescueToday) -> ByHand:
    """What is not there any more is passed over: the page then shows one wish less."""
    return ByHand(
        tuple(_pairs(query.getlist("stays"), rescue)),
        tuple(_pairs(query.getlist("not"), rescue)),
        frozenset(code for code in query.getlist("away")[:MOST] if code in rescue.homes),
    )


def pair_words(pin: Pin) -> str:
    """As the address has it."""
    return f"{pin.group}{BETWEEN}{pin.enclosure}"


def _pairs(given: Iterable[str], rescue: RescueToday) -> Iterator[Pin]:
    for one in list(given)[:MOST]:
        group, _dot, enclosure = one.partition(BETWEEN)
        if group in rescue.companions and enclosure in rescue.offered:
            yield Pin(group, enclosure=enclosure)
