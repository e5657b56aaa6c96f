"""The effect of a reported shortage on the store: stock moves, and a line to pull or to buy.

What is damaged is written off in the build's name; of what is missing nothing is in hand. Either
way the build's pull asks for as many again, keeps what is free, and the buying list has the rest.
"""

import uuid
from typing import Any

from django.db import transaction

from builds.making.part_names import DOORWAY_PANEL, PLAIN_PANEL, PUP_PANEL, RAMP_PANEL
from builds.plans.models.build_acts import Shortage
from builds.plans.models.builds import NEEDING, Build
from builds.pulls.models.accounts import Account, PullAccount, account_of
from builds.pulls.models.pulling import reserve_free_for
from builds.pulls.models.pulls import Pull, PullLine, ShortPick
from builds.store.models import movements
from builds.store.models.items import Item
from builds.store.models.needs import ITEM_KINDS
from builds.store.models.stock import Movement
from habitats.wording import message

PANELS = (PLAIN_PANEL, DOORWAY_PANEL, RAMP_PANEL, PUP_PANEL)


@transaction.atomic
def shortage_moves(shortage: Shortage) -> PullLine | None:
    """Move stock for a shortage that was just written down, and ask for as many again.

    None where the store counts no such item, or the build takes nothing more; the buying list then
    says it in words. The same shortage again changes nothing. Within the lock on its build.
    """
    known = PullLine.objects.filter(shortage=shortage).first()
    item = item_called(shortage.build, shortage.what)
    if known or item is None or shortage.build.state_now() not in NEEDING:
        return known
    account = account_of(shortage.build)
    pull = _pull_for(shortage, account)
    if shortage.kind == Shortage.Kind.DAMAGED:
        _write_off(shortage, item, min(shortage.count, account.issued[item]))
    line = pull.lines.create(item=item, wanted=shortage.count, shortage=shortage)
    reserve_free_for(pull, by=shortage.made_by, idempotency_key=_once(shortage, "kept"))
    return line


def item_called(build: Build, what: str) -> Item | None:
    """The item that a part of the build's newest plan is taken from; None: the store has none."""
    live = Item.objects.live().order_by("pk")
    if what in PANELS:
        panel = build.plans.newest_first().select_related("revision")[0].revision.shape().panel
        return live.filter(
            kind=Item.Kind.PANEL, panel_mm=panel.size_mm, panel_squares=panel.squares
        ).first()
    if what in ITEM_KINDS:
        return live.filter(kind=ITEM_KINDS[what]).first()
    return live.filter(name__iexact=what.strip()).first()  # typed by somebody; no code is a name


def _pull_for(shortage: Shortage, account: Account) -> Pull:
    """The open pull of the build; else another one, with what the last had to leave."""
    latest = account.latest
    if latest and latest.pull.is_open:
        return latest.pull
    pull: Pull = shortage.build.pulls.create(
        plan=latest.pull.plan if latest else None,
        made_by=shortage.made_by,
        idempotency_key=_once(shortage, "pull"),
    )
    if latest:
        _carry_over(latest, pull)
    return pull


def _carry_over(latest: PullAccount, pull: Pull) -> None:
    """What was not there, and sheets that are not cut yet."""
    wanted: dict[Item, int] = {}
    for one in latest.shorts:
        if one.why == ShortPick.Why.MISSING:
            wanted[one.item] = wanted.get(one.item, 0) + one.count
    if not latest.is_cut:
        asked = latest.asked.items()
        wanted |= {item: count for item, count in asked if item.kind == Item.Kind.SHEET}
    for item, count in wanted.items():
        pull.lines.create(item=item, wanted=count)


def _write_off(shortage: Shortage, item: Item, count: int) -> None:
    """It is out of the store already, so it comes back on paper and goes for good."""
    if count < 1:
        return
    build, by = shortage.build, shortage.made_by
    taken = Movement.objects.filter(build=build, item=item, why=Movement.Why.OUT)
    place = taken.select_related("place").newest_first()[0].place
    note = message("damaged, reported on the build")
    about: Any = {"note": note, "by": by, "build": build}
    movements.take_in(item, place, count, idempotency_key=_once(shortage, "back"), **about)
    movements.write_off(item, place, count, idempotency_key=_once(shortage, "written off"), **about)


def _once(shortage: Shortage, word: str) -> uuid.UUID:
    return uuid.uuid5(shortage.idempotency_key, word)
