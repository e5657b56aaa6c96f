"""Taking more than a pull asks for: allowed, after a question.

A slip of the thumb (50 for 5) looks the same as what is meant, so the figures are told once.
"""

import uuid
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from django.db import transaction
from django.utils.translation import gettext as _

from builds.pulls.models.accounts import pull_accounts
from builds.pulls.models.pulling import Picks, take
from builds.pulls.models.pulls import Pull
from builds.store.models.items import Item
from builds.store.models.stock import Movement
from habitats.common.idempotency import made_before
from habitats.people.models.people import Person


@dataclass(frozen=True, slots=True)
class MoreThanLeft:
    """So many of an item are to be taken where only ``left`` are left to take."""

    item: Item
    count: int
    left: int

    @property
    def over(self) -> int:
        return self.count - self.left

    @property
    def sentence(self) -> str:
        words = {"items": self.item.of(self.count), "left": self.left, "over": self.over}
        return _("%(items)s: left to take %(left)d, so %(over)d more than listed.") % words


def more_than_left(
    pulls: Sequence[Pull], picks: Picks, *, by: Person, idempotency_key: uuid.UUID
) -> list[MoreThanLeft]:
    """What is more than the pulls still ask for; nothing if this very act was written down.

    Raises ``CannotPull`` or ``CannotMove`` for what could not be taken however it is agreed to.
    """
    if made_before(Movement.objects, idempotency_key):
        return []
    left, counts = Counter[Item](), Counter[Item]()
    for account in pull_accounts(pulls).values():
        left.update(account.left)
    for (item, _place), count in picks.items():
        counts[item] += count
    more = [
        MoreThanLeft(item, count, left[item])
        for item, count in counts.items()
        if count > left[item]
    ]
    if more:
        with transaction.atomic():
            take(pulls, picks, by=by, idempotency_key=idempotency_key)
            transaction.set_rollback(True)
    return more
