"""Movements of stock: each function appends to the ledger, or refuses with a sentence.

Every verb takes the item, the place and how many, who says so (``by``), and an
``idempotency_key``: the same key again gives what was appended before and changes nothing. What it
is for is named by the fields in ``stock.PURPOSES``, such as ``job=``; what is reserved for
something can only be released, taken or moved in its name.
"""

import uuid
from decimal import Decimal
from typing import Any

from django.db import models, transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from builds.store.models.items import Item
from builds.store.models.places import Place
from builds.store.models.reservations import reserved_by_place, reserved_of
from builds.store.models.stock import PURPOSES, Movement, Stock
from builds.store.models.turns import lock_stocks
from habitats.common.idempotency import made_before
from habitats.people.models.people import Person

MOST_AT_ONCE = 1_000_000
MOST_ON_HAND = 100_000_000

Why = Movement.Why
IdempotencyKey = uuid.UUID | None


class CannotMove(Exception):
    """This cannot be done as things are, so nothing was changed; ``str()`` is the sentence."""


class NotEnough(CannotMove):
    """More was to be taken than there is, so nothing was changed."""


@transaction.atomic
def take_in(
    item: Item,
    place: Place,
    count: int,
    *,
    by: Person,
    idempotency_key: IdempotencyKey = None,
    note: str = "",
    why: str = Why.IN,
    paid: Decimal | None = None,
    **purpose: Any,
) -> Movement:
    """So many came in: bought, found, or brought back from a build. ``paid``: for all of them."""
    said = _Said(by, idempotency_key, note, purpose)
    return _append(item, place, why, said, on_hand=_some(count), paid=paid)


@transaction.atomic
def take_out(
    item: Item,
    place: Place,
    count: int,
    *,
    by: Person,
    reserved: int = 0,
    idempotency_key: IdempotencyKey = None,
    note: str = "",
    **purpose: Any,
) -> Movement:
    """So many were taken, ``reserved`` of them out of what was reserved for this purpose.

    Raises ``NotEnough`` where more would go than is free, or than is reserved for it.
    """
    said = _Said(by, idempotency_key, note, purpose)
    if not 0 <= reserved <= _some(count):
        raise CannotMove(_reserved_among(reserved, count))
    return _append(item, place, Why.OUT, said, on_hand=-count, reserved=-reserved)


@transaction.atomic
def reserve(
    item: Item,
    place: Place,
    count: int,
    *,
    by: Person,
    idempotency_key: IdempotencyKey = None,
    note: str = "",
    **purpose: Any,
) -> Movement:
    """Keep so many for this purpose. Raises ``NotEnough`` where fewer are free."""
    said = _Said(by, idempotency_key, note, purpose)
    return _append(item, place, Why.RESERVE, said, reserved=_some(count))


@transaction.atomic
def release(
    item: Item,
    place: Place,
    count: int,
    *,
    by: Person,
    idempotency_key: IdempotencyKey = None,
    note: str = "",
    **purpose: Any,
) -> Movement:
    """So many are no longer reserved. Raises ``NotEnough`` where fewer are reserved for this."""
    said = _Said(by, idempotency_key, note, purpose)
    return _append(item, place, Why.RELEASE, said, reserved=-_some(count))


@transaction.atomic
def release_all(
    *,
    by: Person,
    idempotency_key: uuid.UUID,
    note: str = "",
    kind: str | None = None,
    **purpose: Any,
) -> None:
    """Reserve nothing more for this purpose; with ``kind`` no more items of that kind."""
    found = reserved_by_place(**purpose)
    lock_stocks(item for item, _place, _reserved in found)
    for item, place, reserved in found:
        if kind is None or item.kind == kind:
            part = uuid.uuid5(idempotency_key, f"release {item.pk} {place.pk}")
            release(item, place, reserved, by=by, idempotency_key=part, note=note, **purpose)


@transaction.atomic
def move(
    item: Item,
    place: Place,
    to: Place,
    count: int,
    *,
    by: Person,
    reserved: int = 0,
    idempotency_key: IdempotencyKey = None,
    note: str = "",
    **purpose: Any,
) -> tuple[Movement, Movement]:
    """So many lie elsewhere now: two movements, what left and what arrived.

    ``reserved`` of them are reserved for this purpose and stay so. Raises ``NotEnough``.
    """
    if place == to:
        raise CannotMove(
            _("“%(item)s” is in %(place)s already. Choose another place.")
            % {"item": item, "place": place}
        )
    if not 0 <= reserved <= _some(count):
        raise CannotMove(_reserved_among(reserved, count))
    said = _Said(by, idempotency_key, note, purpose)
    _lock_in_order(item, place, to)
    gone = _append(item, place, Why.MOVE, said, on_hand=-count, reserved=-reserved, other=to)
    there = _Said(by, uuid.uuid5(gone.idempotency_key, "there"), note, purpose)
    come = _append(item, to, Why.MOVE, there, on_hand=count, reserved=reserved, other=place)
    return gone, come


@transaction.atomic
def count(
    item: Item,
    place: Place,
    counted: int,
    *,
    by: Person,
    idempotency_key: IdempotencyKey = None,
    note: str = "",
    **purpose: Any,
) -> Movement:
    """So many were counted, whatever was thought. Also said where it is as was thought.

    Where fewer are there than are reserved, the reservations made last are released first.
    """
    if not 0 <= counted <= MOST_AT_ONCE:
        raise CannotMove(
            _("%(count)d counted; a count is 0 to %(most)d.")
            % {"count": counted, "most": MOST_AT_ONCE}
        )
    said = _Said(by, idempotency_key, note, purpose)
    stock = _locked(item, place)
    known = said.known()
    if known:
        return known
    _give_up(stock, counted, said)
    return _append(item, place, Why.COUNT, said, on_hand=counted - stock.on_hand)


@transaction.atomic
def write_off(
    item: Item,
    place: Place,
    count: int,
    *,
    by: Person,
    idempotency_key: IdempotencyKey = None,
    note: str = "",
    why: str = Why.WRITE_OFF,
    **purpose: Any,
) -> Movement:
    """So many are broken or lost, or were cut up. Raises ``NotEnough`` where fewer are there.

    Reserved ones break too: where too few are left, the reservations made last are released.
    """
    said = _Said(by, idempotency_key, note, purpose)
    stock = _locked(item, place)
    known = said.known()
    if known:
        return known
    if _some(count) <= stock.on_hand:
        _give_up(stock, stock.on_hand - count, said)
    return _append(item, place, why, said, on_hand=-count)


# --- Questions ---


def places_for(item: Item, count: int, *, even_reserved: bool = False) -> list[tuple[Place, int]]:
    """From where to take so many free ones: from one place if one has enough, else from few.

    ``even_reserved``: those that are reserved may be taken as well.
    Raises ``NotEnough`` where there are fewer in all.
    """
    found = Stock.objects.filter(item=item).with_names().by_place()
    there = [(one.place, one.on_hand if even_reserved else one.free) for one in found]
    enough = [one for one in there if one[1] >= count]
    if enough:
        return [(min(enough, key=lambda one: one[1])[0], count)]
    in_all = sum(some for _place, some in there)
    if in_all < count:
        words = {"items": item.of(count), "there": in_all}
        if even_reserved:
            raise NotEnough(
                _("You need %(items)s; the store has %(there)d. Count them, or receive more.")
                % words
            )
        raise NotEnough(
            _("%(items)s asked for; the store has %(there)d free. Count them, or receive more.")
            % words
        )
    taken, left = [], count
    for place, some in sorted(there, key=lambda one: -one[1]):
        if left:
            taken.append((place, min(left, some)))
            left -= taken[-1][1]
    return taken


# --- How it is written down ---


class _Said:
    """Who says it, once, and what it is about, by the columns of a movement."""

    def __init__(
        self, by: Person, idempotency_key: IdempotencyKey, note: str, about: dict[str, Any]
    ) -> None:
        self.by, self.idempotency_key, self.note = by, idempotency_key or uuid.uuid4(), note
        self.about = {f"{field}_id": getattr(one, "pk", one) for field, one in about.items()}

    def known(self) -> Movement | None:
        return made_before(Movement.objects, self.idempotency_key)


def _append(
    item: Item,
    place: Place,
    why: str,
    said: _Said,
    *,
    on_hand: int = 0,
    reserved: int = 0,
    other: Place | None = None,
    paid: Decimal | None = None,
) -> Movement:
    stock = _locked(item, place)
    known = said.known()
    if known:
        return known
    _refuse(stock, why, said, on_hand, reserved)
    stock.on_hand += on_hand
    stock.reserved += reserved
    stock.number += 1
    # A clock that was put back does not put the ledger out of order.
    stock.moved_at = max(timezone.now(), stock.moved_at or timezone.now())
    if why == Why.COUNT:
        stock.counted_at = stock.moved_at
    stock.save()
    return Movement.objects.create(
        item=item,
        place=place,
        number=stock.number,
        why=why,
        on_hand_change=on_hand,
        reserved_change=reserved,
        on_hand=stock.on_hand,
        reserved=stock.reserved,
        other=other,
        paid=paid,
        note=said.note,
        made_by=said.by,
        idempotency_key=said.idempotency_key,
        made_at=stock.moved_at,
        **said.about,
    )


def _refuse(stock: Stock, why: str, said: _Said, on_hand: int, reserved: int) -> None:
    """Raise ``NotEnough`` where more would go, or be reserved, than there is."""
    item, place = stock.item, stock.place
    if stock.on_hand + on_hand > MOST_ON_HAND:
        raise CannotMove(
            _("%(place)s would have %(count)d. The most is %(most)d.")
            % {"place": place, "count": stock.on_hand + on_hand, "most": MOST_ON_HAND}
        )
    if stock.on_hand + on_hand < 0:
        raise NotEnough(
            _("%(items)s asked for; %(place)s has %(there)d. Count them, or receive more.")
            % {"items": item.of(-on_hand), "place": place, "there": stock.on_hand}
        )
    mine = reserved_of(item, place, said.about) if reserved < 0 else 0
    if reserved < 0 and mine + reserved < 0:
        raise NotEnough(
            _("%(items)s asked for; %(place)s has %(there)d reserved for this. Take fewer.")
            % {"items": item.of(-reserved), "place": place, "there": mine}
        )
    if stock.free + on_hand - reserved < 0:
        wanted = max(-on_hand + reserved, reserved)
        raise NotEnough(
            _(
                "%(items)s asked for; %(place)s has %(there)d: %(reserved)d reserved, "
                "%(free)d free. Take fewer, or release some."
            )
            % {
                "items": item.of(wanted),
                "place": place,
                "there": stock.on_hand,
                "reserved": stock.reserved,
                "free": stock.free,
            }
        )


def _give_up(stock: Stock, most: int, said: _Said) -> None:
    """Release what was reserved last, until no more than so many are reserved there."""
    reserved = (
        Movement.objects.filter(item=stock.item_id, place=stock.place_id)
        .exclude(reserved_change=0)
        .values(*PURPOSES)
        .annotate(total=models.Sum("reserved_change"), last=models.Max("number"))
        .filter(total__gt=0)
        .order_by("-last")
    )
    for number, one in enumerate(reserved):
        over = stock.reserved - most
        if over <= 0:
            return
        purpose = {field: one[field] for field in PURPOSES}
        freed = min(over, one["total"])
        idempotency_key = uuid.uuid5(said.idempotency_key, f"given up {number}")
        gone = _Said(said.by, idempotency_key, f"{most} are left in {stock.place}", purpose)
        _append(stock.item, stock.place, Why.RELEASE, gone, reserved=-freed)
        stock.refresh_from_db()


def _locked(item: Item, place: Place) -> Stock:
    """The stock, made if need be; two who write at once take turns here."""
    Stock.objects.get_or_create(item=item, place=place)
    return (
        Stock.objects.select_for_update(of=("self",), no_key=True)
        .with_names()
        .get(item=item, place=place)
    )


def _lock_in_order(item: Item, *places: Place) -> None:
    """Always in the same order, so that two moves crossing each other do not wait for ever."""
    for place in sorted(places, key=lambda one: one.pk):
        _locked(item, place)


def _reserved_among(reserved: int, count: int) -> str:
    return _("%(reserved)d reserved ones cannot be among %(count)d.") % {
        "reserved": reserved,
        "count": count,
    }


def _some(count: int) -> int:
    if 1 <= count <= MOST_AT_ONCE:
        return count
    raise CannotMove(
        _("%(count)d given; give 1 to %(most)d.") % {"count": count, "most": MOST_AT_ONCE}
    )
