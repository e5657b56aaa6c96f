"""Answers as JSON that can be read again.

Why a place is ruled out is said in a language, so it is not stored: who reads the answer has
the case that it is about, and gives it.
"""

from collections.abc import Mapping
from typing import Any

from habitats.placement.moves import ProposedMove
from habitats.placement.questions import Answer, Proposed
from habitats.placement.room_for_more import RoomForMore
from habitats.placement.values import (
    Contradiction,
    Goal,
    Miss,
    MissReason,
    Pin,
    PlaceToLive,
    Placing,
    PlacingCase,
    ProposedStay,
    Reached,
    WaitingUrgency,
)

Stored = Mapping[str, Any]
PROPOSED, CLASH, PLACING, ROOM, NOWHERE = "proposed", "clash", "placing", "room", "nowhere"


def stored(answer: Answer) -> Stored:
    """The answer as JSON keeps it; ``kind`` says which of the answers it is."""
    if isinstance(answer, Proposed):
        return {
            "kind": PROPOSED,
            "placing": _placing(answer.placing),
            "moves": [[one.group, _place(one.start), _place(one.to)] for one in answer.moves],
            "held": sorted(answer.held),
        }
    if isinstance(answer, Contradiction):
        return {
            "kind": CLASH,
            "pins": [list(one) for one in answer.pins],
            "misses": [_miss(one) for one in answer.misses],
        }
    if isinstance(answer, Placing):
        return {"kind": PLACING, "placing": _placing(answer)}
    if isinstance(answer, RoomForMore):
        return {"kind": ROOM, "room": list(answer)}
    return {"kind": NOWHERE}


def answer_from(told: Stored, case: PlacingCase) -> Answer:
    """``case``: that of the question."""
    words = {(one.group, one.enclosure): one.why for one in case.bars}
    kind = told["kind"]
    if kind == PROPOSED:
        moves = (ProposedMove(ref, _live(a), _live(b)) for ref, a, b in told["moves"])
        return Proposed(
            _placing_from(told["placing"], words), tuple(moves), frozenset(told["held"])
        )
    if kind == CLASH:
        pins = tuple(Pin(*one) for one in told["pins"])
        misses = (_miss_from(one, pins[0].group, words) for one in told["misses"])
        return Contradiction(pins, tuple(misses))
    if kind == PLACING:
        return _placing_from(told["placing"], words)
    return RoomForMore(*told["room"]) if kind == ROOM else None


def _placing(placing: Placing) -> Stored:
    return {
        "stays": [[list(one.groups), _place(one.place), one.suits] for one in placing.stays],
        "reached": [[one.goal.value, one.value, one.bound, one.urgency] for one in placing.reached],
        # Pairs, for databases that give the names of an object an order of their own.
        "misses": [[ref, [_miss(one) for one in found]] for ref, found in placing.misses.items()],
    }


Words = Mapping[tuple[str, str], str]


def _placing_from(told: Stored, words: Words) -> Placing:
    return Placing(
        tuple(ProposedStay(tuple(groups), _live(at), suits) for groups, at, suits in told["stays"]),
        tuple(
            Reached(Goal(goal), value, bound, None if urgency is None else WaitingUrgency(urgency))
            for goal, value, bound, urgency in told["reached"]
        ),
        {ref: tuple(_miss_from(one, ref, words) for one in found) for ref, found in told["misses"]},
    )


def _place(place: PlaceToLive | None) -> list[str | None] | None:
    return None if place is None else list(place)


def _live(told: list[str | None] | None) -> PlaceToLive | None:
    return None if told is None else PlaceToLive(*told)


def _miss(miss: Miss) -> list[Any]:
    return [list(miss.place), miss.reason.value, miss.lacking_mm2, miss.by]


def _miss_from(told: list[Any], ref: str, words: Words) -> Miss:
    place, reason = PlaceToLive(*told[0]), MissReason(told[1])
    why = words.get((ref, place.enclosure or ""), "") if reason is MissReason.BARRED else ""
    return Miss(place, reason, lacking_mm2=told[2], by=told[3], words=why)
