"""The states of a linen, which may follow which, and what to do when one may not.

A linen goes round: clean, in use, soiled, washing, drying, dry, clean. New cloth joins by its first
wash, after which it is measured. What is set aside for a suspected infection stays so from wash to
wash until its programmes release it (``infection.py``).
"""

from enum import StrEnum


class State(StrEnum):
    """Where a linen is on its way round, or why it is not on it."""

    NEW = "new"
    FIRST_WASHED = "first-washed"  # back from its first wash, to be measured
    CLEAN = "clean"  # in its pool's cupboard
    IN_USE = "in use"
    SOILED = "soiled"
    WASHING = "washing"
    DRYING = "drying"
    DRY = "dry"  # dried, not yet brought back
    SET_ASIDE = "set aside"
    MENDING = "mending"
    RETIRED = "retired"
    LOST = "lost"


# The linen line: the five states that a linen goes round in, in order.
LINE = (State.CLEAN, State.IN_USE, State.SOILED, State.WASHING, State.DRYING)
_COUNTED_AS = {State.DRY: State.DRYING, State.SET_ASIDE: State.SOILED}

# A linen that rests may be said to be what it is again: it moved to another pool.
_RESTING = frozenset((State.NEW, State.CLEAN, State.SOILED, State.SET_ASIDE))

# Wherever a linen is, it can turn out to be suspect, worn out or lost.
_ANY_TIME = frozenset((State.SET_ASIDE, State.RETIRED, State.LOST))

# Out of the machine comes before into it again, so that two who tick one load never make two
# washes of it. What is taken out of an enclosure is soiled, whatever comes next.
_ON_THE_WAY: dict[State, frozenset[State]] = {
    State.NEW: frozenset((State.WASHING,)),
    State.FIRST_WASHED: frozenset((State.CLEAN, State.SOILED, State.MENDING)),
    State.CLEAN: frozenset((State.IN_USE, State.SOILED, State.WASHING, State.MENDING)),
    State.IN_USE: frozenset((State.SOILED,)),
    State.SOILED: frozenset((State.WASHING,)),
    State.WASHING: frozenset((State.DRYING, State.SOILED)),
    State.DRYING: frozenset((State.DRY, State.WASHING, State.SOILED)),
    State.DRY: frozenset(
        (State.CLEAN, State.FIRST_WASHED, State.WASHING, State.SOILED, State.MENDING)
    ),
    State.SET_ASIDE: frozenset((State.WASHING, State.SOILED)),
    State.MENDING: frozenset((State.CLEAN, State.SOILED, State.WASHING)),
    State.LOST: frozenset((State.SOILED,)),
}

_WHAT_IT_IS = {
    State.NEW: "is new and was never washed",
    State.FIRST_WASHED: "is back from its first wash and still to be measured",
    State.CLEAN: "is clean and in the cupboard",
    State.IN_USE: "lies in an enclosure",
    State.SOILED: "is soiled",
    State.WASHING: "is in the wash, so it is wet",
    State.DRYING: "is drying and may still be wet",
    State.DRY: "is dry and waits to be brought back",
    State.SET_ASIDE: "is set aside for a suspected infection",
    State.MENDING: "is being mended",
    State.RETIRED: "is retired for good",
    State.LOST: "is written down as lost",
}

_WHAT_IT_WOULD_BE = {
    State.NEW: "be new again",
    State.FIRST_WASHED: "come back from its first wash",
    State.CLEAN: "go to the clean ones",
    State.IN_USE: "be laid in an enclosure",
    State.SOILED: "be soiled",
    State.WASHING: "go into the wash",
    State.DRYING: "be put to dry",
    State.DRY: "be dry",
    State.SET_ASIDE: "be set aside",
    State.MENDING: "be mended",
    State.RETIRED: "be retired",
    State.LOST: "be lost",
}

_WHAT_TO_DO = {
    State.NEW: "Wash it first: it shrinks, and is measured after that.",
    State.FIRST_WASHED: "Measure it and put it with the clean ones first.",
    State.CLEAN: "It can be laid in an enclosure; to wash it again, say first that it is soiled.",
    State.IN_USE: "Say first that it was taken out there: it is soiled then.",
    State.SOILED: "Wash and dry it first.",
    State.WASHING: "Take it out and dry it first.",
    State.DRYING: "Say first that it is dry.",
    State.DRY: "Bring it back to the clean ones first.",
    State.SET_ASIDE: "Wash and dry it apart from all others; its programmes say when it is free.",
    State.MENDING: "Say first whether it came back clean or soiled.",
    State.RETIRED: "Read the label again, or take another linen.",
    State.LOST: "Say first that it was found: it counts as soiled.",
}


def followers(before: State) -> frozenset[State]:
    """The states that may follow on this one; none for a linen that is retired."""
    if before is State.RETIRED:
        return frozenset()
    again = frozenset((before,)) & _RESTING
    return _ON_THE_WAY[before] | (_ANY_TIME - {before}) | again


def may_follow(before: State, after: State) -> bool:
    """Whether a linen in the one state may be said to be in the other now."""
    return after in followers(before)


def refusal(before: State, after: State, label: str) -> str | None:
    """Why the one cannot follow on the other, and what to do first; None if it may.

    ``label`` is the linen's as people read it.
    """
    if may_follow(before, after):
        return None
    if before is after:
        return f"{label} {_WHAT_IT_IS[before]}; that is noted already. {_WHAT_TO_DO[before]}"
    return (
        f"{label} {_WHAT_IT_IS[before]}: it cannot {_WHAT_IT_WOULD_BE[after]} now. "
        f"{_WHAT_TO_DO[before]}"
    )


def line_of(state: State) -> State | None:
    """Which of the five of the line a linen is counted in; None for one that does not go round.

    Dry counts as drying and set aside as soiled. New and first-washed linens do not go round yet.
    """
    state = _COUNTED_AS.get(state, state)
    return state if state in LINE else None
