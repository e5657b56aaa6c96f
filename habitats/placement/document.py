"""A placing as JSON."""

from collections.abc import Mapping
from typing import Any

from habitats.measures import MM2_PER_CM2
from habitats.placement.moves import ProposedMove, moves_of
from habitats.placement.values import Miss, PlaceToLive, Placing, PlacingCase, ProposedStay, Reached
from habitats.placement.words import goal_words, miss_words, proof_words

Document = Mapping[str, Any]


def placing_document(case: PlacingCase, placing: Placing) -> Document:
    return {
        "stays": [_stay(one) for one in placing.stays],
        "moves": [_move(one) for one in moves_of(case, placing)],
        "reached": [_reached(one) for one in placing.reached],
        "waiting": [
            {"group": ref, "nearest": [_miss(one) for one in misses]}
            for ref, misses in placing.misses.items()
        ],
    }


def _place(place: PlaceToLive | None) -> Document | None:
    if place is None:
        return None
    return {key: ref for key, ref in place._asdict().items() if ref is not None}


def _stay(stay: ProposedStay) -> Document:
    return {"groups": list(stay.groups), "place": _place(stay.place), "suits": stay.suits}


def _move(move: ProposedMove) -> Document:
    return {"group": move.group, "from": _place(move.start), "to": _place(move.to)}


def _reached(reached: Reached) -> Document:
    return {
        "goal": reached.goal.value,
        **({} if reached.urgency is None else {"urgency": reached.urgency.word}),
        "value": reached.value,
        "bound": reached.bound,
        "told": f"{goal_words(reached)}. {proof_words(reached)}",
    }


def _miss(miss: Miss) -> Document:
    return {
        "place": _place(miss.place),
        "reason": miss.reason.value,
        "told": miss_told(miss),
    }


def miss_told(miss: Miss) -> str:
    """With refs for names."""
    return miss_words(miss, str, cm2_words)


def cm2_words(area_mm2: int) -> str:
    return f"{-(-area_mm2 // MM2_PER_CM2)} cm²"
