"""What the address of the page says of the coordinator's own wishes, and what was proposed."""

from collections.abc import Iterable, Iterator, Sequence
from urllib.parse import urlencode

from django.http import QueryDict

from builds.placing.models.case_today import ByHand, RescueToday
from habitats.placement.moves import ProposedMove
from habitats.placement.values import USUAL_ORDER, Goal, Pin

BETWEEN = "."  # codes hold letters and figures only
MOST = 200  # wishes; more is no page that anybody made


def by_hand_in(query: QueryDict, rescue: RescueToday) -> ByHand:
    """What is not there any more is passed over: the page then shows one wish less."""
    return ByHand(
        tuple(_pins(query.getlist("stays"), rescue)),
        tuple(_pins(query.getlist("not"), rescue)),
        frozenset(code for code in query.getlist("away")[:MOST] if code in rescue.homes),
        _order(query.getlist("goal")),
    )


def pairs_of(by_hand: ByHand) -> list[tuple[str, str]]:
    """The wishes as names and values, of an address or of the fields of a form."""
    order = by_hand.order if by_hand.order != USUAL_ORDER else ()
    return [
        *(("stays", _paired(one.group, one.enclosure)) for one in by_hand.pins),
        *(("not", _paired(one.group, one.enclosure)) for one in by_hand.forbidden),
        *(("away", code) for code in sorted(by_hand.away)),
        *(("goal", one.value) for one in order),
    ]


def query_of(by_hand: ByHand) -> str:
    return f"?{urlencode(pairs_of(by_hand))}"


def proposal_of(moves: Sequence[ProposedMove]) -> str:
    """The moves, as they are sent with "Record all moves"."""
    return ",".join(_paired(one.group, one.to.enclosure if one.to else "") for one in moves)


def proposed_in(proposal: str) -> list[tuple[str, str]]:
    """Groups and where each goes, in their order; empty: into a carrier."""
    return [_parted(one) for one in proposal.split(",")]


def _paired(group: str, enclosure: str | None) -> str:
    return f"{group}{BETWEEN}{enclosure or ''}"


def _parted(words: str) -> tuple[str, str]:
    group, _dot, enclosure = words.partition(BETWEEN)
    return group, enclosure


def _pins(given: Iterable[str], rescue: RescueToday) -> Iterator[Pin]:
    for one in list(given)[:MOST]:
        group, enclosure = _parted(one)
        if group in rescue.companions and enclosure in rescue.offered:
            yield Pin(group, enclosure=enclosure)


def _order(given: Sequence[str]) -> tuple[Goal, ...]:
    """As named, those that are not at the end; what makes no sense is the usual order."""
    known = [one.value for one in Goal]
    named = [Goal(one) for one in dict.fromkeys(given) if one in known]
    return (*named, *(one for one in USUAL_ORDER if one not in named))
