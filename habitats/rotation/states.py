"""The states of a linen, which may follow which, and what to do when one may not.

A linen goes round: clean, in use, soiled, washing, drying, dry, clean. New cloth joins by its first
wash, after which it is measured. What is set aside for a suspected infection stays so from wash to
wash until its programmes release it (``infection.py``).
"""

from enum import StrEnum

from habitats.wording import joined, message, message_in


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

    @property
    def words(self) -> str:
        """As it is told in a sentence."""
        return _WORDS[self]


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

_WORDS = {
    State.NEW: message_in("state of a linen", "new"),
    State.FIRST_WASHED: message_in("state of a linen", "first-washed"),
    State.CLEAN: message_in("state of a linen", "clean"),
    State.IN_USE: message_in("state of a linen", "in use"),
    State.SOILED: message_in("state of a linen", "soiled"),
    State.WASHING: message_in("state of a linen", "washing"),
    State.DRYING: message_in("state of a linen", "drying"),
    State.DRY: message_in("state of a linen", "dry"),
    State.SET_ASIDE: message_in("state of a linen", "set aside"),
    State.MENDING: message_in("state of a linen", "mending"),
    State.RETIRED: message_in("state of a linen", "retired"),
    State.LOST: message_in("state of a linen", "lost"),
}

_WHAT_IT_IS = {
    State.NEW: message("%(label)s is new and was never washed."),
    State.FIRST_WASHED: message("%(label)s is back from its first wash and still to be measured."),
    State.CLEAN: message("%(label)s is clean and in the cupboard."),
    State.IN_USE: message("%(label)s lies in an enclosure."),
    State.SOILED: message("%(label)s is soiled."),
    State.WASHING: message("%(label)s is in the wash, so it is wet."),
    State.DRYING: message("%(label)s is drying and may still be wet."),
    State.DRY: message("%(label)s is dry and waits to be returned."),
    State.SET_ASIDE: message("%(label)s is set aside for a suspected infection."),
    State.MENDING: message("%(label)s is being mended."),
    State.RETIRED: message("%(label)s is retired for good."),
    State.LOST: message("%(label)s is recorded as lost."),
}

_WHAT_TO_DO = {
    State.NEW: message("Wash it before use: it shrinks, and is measured after that."),
    State.FIRST_WASHED: message("Measure it, and return it to the clean linens."),
    State.CLEAN: message("You can lay it in an enclosure. To wash it, record that it is soiled."),
    State.IN_USE: message("Take it out of its enclosure: it is soiled then."),
    State.SOILED: message("Wash and dry it."),
    State.WASHING: message("Take it out of the machine and dry it."),
    State.DRYING: message("Record that it is dry."),
    State.DRY: message("Return it to the clean linens."),
    State.SET_ASIDE: message(
        "Wash and dry it apart from all others. Its washes decide when it is released."
    ),
    State.MENDING: message("Record whether it came back clean or soiled."),
    State.RETIRED: message("Read the label again, or take another linen."),
    State.LOST: message("Record that it was found: it counts as soiled."),
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
    said = (
        message("This is recorded already.")
        if before is after
        else message("It cannot be marked “%(state)s” now.", state=after.words)
    )
    return joined(" ", (_WHAT_IT_IS[before].filled(label=label), said, _WHAT_TO_DO[before]))


def line_of(state: State) -> State | None:
    """Which of the five of the line a linen is counted in; None for one that does not go round.

    Dry counts as drying and set aside as soiled. New and first-washed linens do not go round yet.
    """
    state = _COUNTED_AS.get(state, state)
    return state if state in LINE else None
