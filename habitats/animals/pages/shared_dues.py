"""What comes, as a page shows it: what several animals share is said once."""

from collections.abc import Sequence
from datetime import date
from itertools import groupby
from typing import NamedTuple

from habitats.welfare.ahead import Due
from habitats.welfare.companion import Companion
from habitats.wording import by_number, listed


class SharedDue(NamedTuple):
    """``also`` names the other animals of which the same is said; empty for none."""

    day: date
    sentence: str
    also: str


def shared_dues(dues: Sequence[Due], companions: Sequence[Companion]) -> list[SharedDue]:
    """In the order in which they come: the first name of each kind, and who else."""
    names = {one.ref: one.name for one in companions}
    kinds = [_kind(one, names) for one in dues]
    alike = sorted(range(len(dues)), key=lambda at: (kinds.index(kinds[at]), at))
    groups = groupby(alike, key=lambda at: kinds[at])
    return [_row([dues[at] for at in group], names) for _kind, group in groups]


def _kind(due: Due, names: dict[str, str]) -> tuple[object, ...]:
    """What is the same but for the name of the one animal that it is about."""
    if len(due.animals) != 1:
        return (due,)
    return due.kind, due.day, due.until, str(due.sentence).replace(names[due.animals[0]], "")


def _row(alike: Sequence[Due], names: dict[str, str]) -> SharedDue:
    if len(alike) == 1:
        return SharedDue(alike[0].day, alike[0].sentence, "")
    first, *others = sorted(alike, key=lambda one: by_number(names[one.animals[0]]))
    also = [names[one.animals[0]] for one in others]
    return SharedDue(first.day, first.sentence, listed(also))
