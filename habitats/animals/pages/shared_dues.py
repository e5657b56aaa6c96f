"""What comes, as a page shows it: what several animals share is said once."""

from collections.abc import Sequence
from datetime import date
from typing import NamedTuple

from habitats.animals.pages.told_once import alike, also_words
from habitats.welfare.ahead import Due
from habitats.welfare.companion import Companion
from habitats.wording import by_number


class SharedDue(NamedTuple):
    """``also`` says of which other animals the same is so; empty for none."""

    day: date
    sentence: str
    also: str


def shared_dues(dues: Sequence[Due], companions: Sequence[Companion]) -> list[SharedDue]:
    """In the order in which they come: the first name of each kind, and who else."""
    names = {one.ref: one.name for one in companions}
    return [_row(some, names) for some in alike(dues, lambda one: _kind(one, names))]


def _kind(due: Due, names: dict[str, str]) -> tuple[object, ...]:
    """What is the same but for the name of the one animal that it is about."""
    if len(due.animals) != 1:
        return (due,)
    return due.kind, due.day, due.until, str(due.sentence).replace(names[due.animals[0]], "")


def _row(some: Sequence[Due], names: dict[str, str]) -> SharedDue:
    if len(some) == 1:
        return SharedDue(some[0].day, some[0].sentence, "")
    first, *others = sorted(some, key=lambda one: by_number(names[one.animals[0]]))
    also = also_words(names[one.animals[0]] for one in others)
    return SharedDue(first.day, first.sentence, also)
