"""What the space standard asks of a room, and what of it is not met."""

from collections.abc import Iterable

from habitats.welfare.values import Room, Verdict

NO_ROOM = Room(ground_mm2=1)  # what is asked for does not hang on what is there


def not_enough(verdicts: Iterable[Verdict]) -> str:
    """The first clause that is not met; empty where all are."""
    for verdict in verdicts:
        if verdict.passes is False:
            return next(str(one.text) for one in verdict.clauses if one.passes is False)
    return ""
