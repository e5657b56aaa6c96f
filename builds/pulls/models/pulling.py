"""Acts on pulls: start, take, report short, bring back; how they end is in ``ending.py``.

Each act is for one pull or for those of a batch together: what is taken for several is shared out,
first to those for which it was reserved where it lies, then in the order of the pulls. The same
key again changes nothing. What cannot be done raises ``CannotPull``, or ``CannotMove`` where the
store says so, and changes nothing.
"""

import uuid
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from builds.plans.models.builds import NEEDING, Build
from builds.pulls.models.accounts import (
    Amounts,
    account_of,
    issued_to,
    pull_accounts,
)
from builds.pulls.models.pulls import CannotPull, Pull, PullEnd, PullLine, ShortPick
from builds.pulls.models.refusals import (
    refuse_ended,
    refuse_item,
    refuse_state,
    state_now,
    taken_already,
    whole_count,
)
from builds.pulls.models.shares import merged, shared, shares_left
from builds.store.models import movements, reservations
from builds.store.models.items import Item
from builds.store.models.needs import CannotMake
from builds.store.models.places import Place
from builds.store.models.stock import Movement, Stock
from builds.store.models.turns import lock_stocks
from habitats.common.idempotency import made_before
from habitats.people.models.people import Person
from habitats.stored_wording import all_to_json
from habitats.wording import message

How, Short = PullEnd.How, ShortPick.Why
Picks = Mapping[tuple[Item, Place], int]
IdempotencyKeys = Iterator[uuid.UUID]


def begin(build: Build, *, by: Person, idempotency_key: uuid.UUID) -> Pull:
    """What the newest plan needs beyond what is issued, reserved as far as it is free.

    The open pull, if that is for the newest plan already; one for an earlier plan is ended.
    """
    wanted, reserved, missing, only_to_cut = _wanted(build)
    with transaction.atomic():
        _lock(build)
        known = made_before(Pull.objects, idempotency_key)
        if known:
            return known
        refuse_state(build)
        plan = build.plans.newest_first()[0]
        open_one = build.pulls.open().first()
        if open_one and open_one.plan_id == plan.pk:
            return open_one
        if open_one:
            end_pull(open_one, How.REPLANNED, by, uuid.uuid5(idempotency_key, "before"))
        if only_to_cut or (not wanted and not missing):
            raise CannotPull(taken_already(build, bool(wanted)))
        pull = build.pulls.create(
            plan=plan,
            uncounted=all_to_json(missing),
            made_by=by,
            idempotency_key=idempotency_key,
        )
        _add_lines(pull, wanted)
        _reserve(pull, reserved, by, keys_from(idempotency_key))
    return pull


@transaction.atomic
def take(pulls: Sequence[Pull], picks: Picks, *, by: Person, idempotency_key: uuid.UUID) -> int:
    """So many of an item were taken from a place. Gives how many things were taken in all.

    More than is wanted may be taken, as far as it is free: it is brought back or used.
    """
    lock_all(pulls)
    if made_before(Movement.objects, idempotency_key):
        return 0
    refuse_ended(pulls)
    idempotency_keys = keys_from(idempotency_key)
    for (item, place), count in picks.items():
        _take_one(pulls, item, place, count, by, idempotency_keys)
    return sum(picks.values())


def take_as_listed(pulls: Sequence[Pull], *, by: Person, idempotency_key: uuid.UUID) -> int:
    """All that is reserved, from where it is. Gives how many things were taken."""
    picks: dict[tuple[Item, Place], int] = {}
    for pull in pulls:
        for item, place, reserved in reservations.reserved_by_place(build=pull.build):
            if item.kind != Item.Kind.SHEET:
                picks[item, place] = picks.get((item, place), 0) + reserved
    return take(pulls, picks, by=by, idempotency_key=idempotency_key) if picks else 0


@transaction.atomic
def report_short(
    pulls: Sequence[Pull],
    item: Item,
    count: int,
    why: str,
    *,
    by: Person,
    idempotency_key: uuid.UUID,
    note: str = "",
    instead: Item | None = None,
    place: Place | None = None,
) -> None:
    """Fewer are taken, and why. What serves ``instead``, if it is counted, goes from ``place``."""
    lock_all(pulls)
    if made_before(ShortPick.objects, idempotency_key):
        return
    refuse_ended(pulls)
    shares = shares_left(pulls, item, count)
    for (pull, share), own in zip(shares, keys_from(idempotency_key), strict=False):
        idempotency_keys = keys_from(uuid.uuid5(own, "moved"))
        pull.shorts.create(
            item=item,
            count=share,
            why=why,
            instead=instead,
            note=note,
            made_by=by,
            idempotency_key=own,
        )
        if instead and place:
            movements.take_out(
                instead,
                place,
                share,
                by=by,
                idempotency_key=next(idempotency_keys),
                note=message("instead of %(item)s", item=str(item)),
                build=pull.build,
                pull=pull,
            )
        _trim(pull, item, by, idempotency_keys)


@transaction.atomic
def bring_back(
    pulls: Sequence[Pull],
    item: Item,
    place: Place,
    count: int,
    *,
    by: Person,
    idempotency_key: uuid.UUID,
    note: str = "",
) -> None:
    """So many of what was taken lie in a place of the store again."""
    lock_all(pulls)
    if made_before(Movement.objects, idempotency_key):
        return
    issued = issued_to([pull.build for pull in pulls])
    shares = _shares_taken(pulls, issued, item, count)
    for (pull, share), own in zip(shares, keys_from(idempotency_key), strict=False):
        about: Any = {"build": pull.build, "pull": pull}
        movements.take_in(item, place, share, by=by, idempotency_key=own, note=note, **about)
        end = pull.end_or_none()
        if end and end.how in (How.COMPLETE, How.SHORT) and state_now(pull.build) in NEEDING:
            pull.shorts.create(
                item=item,
                count=share,
                why=Short.UNNEEDED,
                note=message("left over"),
                made_by=by,
                idempotency_key=own,
            )


def _shares_taken(
    pulls: Sequence[Pull], issued: Mapping[Build, Mapping[Item, int]], item: Item, count: int
) -> list[tuple[Pull, int]]:
    """Of which pull how many come back, the last first. Raises ``CannotPull`` where fewer left."""
    taken = [(pull, issued[pull.build][item]) for pull in reversed(pulls)]
    shares = shared(taken, whole_count(count))
    if sum(share for _pull, share in shares) < count:
        there = sum(max(0, some) for _pull, some in taken)
        raise CannotPull(
            _("%(items)s given to bring back; %(there)d were taken. Give %(there)d or fewer.")
            % {"items": item.of(count), "there": there}
        )
    return shares


@transaction.atomic
def reserve_free(pulls: Sequence[Pull], *, by: Person, idempotency_key: uuid.UUID) -> int:
    """Reserve what is free by now and still wanted. Gives how many things were."""
    lock_all(pulls)
    if made_before(Movement.objects, idempotency_key):
        return 0
    refuse_ended(pulls)
    idempotency_keys = keys_from(idempotency_key)
    accounts = pull_accounts(pulls)
    lock_stocks(item for one in accounts.values() for item in one.not_reserved)
    return sum(
        _reserve(pull, one.not_reserved, by, idempotency_keys) for pull, one in accounts.items()
    )


def reserve_free_for(pull: Pull, *, by: Person, idempotency_key: uuid.UUID) -> None:
    """The same for one pull whose build is locked already."""
    _reserve(pull, pull_accounts([pull])[pull].not_reserved, by, keys_from(idempotency_key))


# --- Parts of these ---


def _wanted(build: Build) -> tuple[Amounts, Amounts, list[str], bool]:
    """Reckoned before anything is locked, since sheets may take a while.

    What is wanted, what of it the pull reserves, what the store has no item for, and whether only
    the cutting is left.
    """
    account = account_of(build)
    try:
        missing = list(account.needs.missing)
        return account.wanted, account.own_wanted, missing, account.waits_for_cutting
    except CannotMake as reason:
        raise CannotPull(str(reason)) from reason


def _take_one(
    pulls: Sequence[Pull],
    item: Item,
    place: Place,
    count: int,
    by: Person,
    idempotency_keys: IdempotencyKeys,
) -> None:
    accounts = pull_accounts(pulls)
    own = [pull for pull in pulls if accounts[pull].asked[item]]
    refuse_item(item, own)
    reserved = {pull: reservations.reserved_for(item, place, build=pull.build) for pull in own}
    left = [(pull, accounts[pull].left[item] - reserved[pull]) for pull in own]
    shares = shared([*reserved.items(), *left, (own[-1], count)], whole_count(count))
    for pull, share in merged(shares):
        movements.take_out(
            item,
            place,
            share,
            reserved=min(share, reserved[pull]),
            by=by,
            idempotency_key=next(idempotency_keys),
            build=pull.build,
            pull=pull,
        )
        _trim(pull, item, by, idempotency_keys)


def _trim(pull: Pull, item: Item, by: Person, idempotency_keys: IdempotencyKeys) -> None:
    """Reserve no more than is left to take."""
    left = pull_accounts([pull])[pull].left[item]
    reserved = [
        (place, n)
        for one, place, n in reservations.reserved_by_place(build=pull.build)
        if one == item
    ]
    over = sum(count for _place, count in reserved) - left
    lock_stocks([item])
    for place, count in reversed(reserved):
        if over > 0:
            freed = min(over, count)
            movements.release(
                item, place, freed, by=by, idempotency_key=next(idempotency_keys), build=pull.build
            )
            over -= count


def _reserve(pull: Pull, wanted: Amounts, by: Person, idempotency_keys: IdempotencyKeys) -> int:
    """As much as is free, from as few places as will do. Gives how many things were reserved."""
    made = 0
    lock_stocks(wanted)
    for item, count in wanted.items():
        for place, share in places_free(item, count):
            about: Any = {"build": pull.build, "pull": pull}
            movements.reserve(
                item, place, share, by=by, idempotency_key=next(idempotency_keys), **about
            )
            made += share
    return made


def places_free(item: Item, count: int) -> list[tuple[Place, int]]:
    """Where so many are free, or as many as there are."""
    stocks = Stock.objects.filter(item=item)
    free = sum(one.free for one in stocks)
    return movements.places_for(item, min(count, free)) if min(count, free) > 0 else []


def end_pull(pull: Pull, how: str, by: Person, idempotency_key: uuid.UUID) -> None:
    """Release what is reserved; of a closed pull its sheets stay so until a job has cut them."""
    idempotency_keys = keys_from(uuid.uuid5(idempotency_key, "release"))
    found = reservations.reserved_by_place(build=pull.build)
    lock_stocks(item for item, _place, _reserved in found)
    for item, place, reserved in found:
        if how not in (How.COMPLETE, How.SHORT) or item.kind != Item.Kind.SHEET:
            movements.release(
                item,
                place,
                reserved,
                by=by,
                idempotency_key=next(idempotency_keys),
                build=pull.build,
            )
    PullEnd.objects.create(
        pull=pull, how=how, made_by=by, idempotency_key=uuid.uuid5(idempotency_key, "end")
    )


def _add_lines(pull: Pull, wanted: Amounts) -> None:
    PullLine.objects.bulk_create(
        PullLine(pull=pull, item=item, wanted=count) for item, count in wanted.items()
    )


# --- Small things ---


def keys_from(idempotency_key: uuid.UUID) -> IdempotencyKeys:
    """The act's own, by which a repeat is known, and then as many more as it takes."""
    yield idempotency_key
    number = 0
    while number := number + 1:
        yield uuid.uuid5(idempotency_key, str(number))


def _lock(build: Build) -> None:
    Build.objects.select_for_update(of=("self",), no_key=True).get(pk=build.pk)


def lock_all(pulls: Sequence[Pull]) -> None:
    """Always in the same order; two who take for one build at once take turns here."""
    for pull in sorted(pulls, key=lambda one: one.build_id):
        _lock(pull.build)
