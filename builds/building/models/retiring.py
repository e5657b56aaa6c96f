"""Retiring an enclosure: it is taken down, and its sound parts are counted into the store.

What was taken back is found again by the key of the entry that says it is retired.
"""

import uuid
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

from django.db import transaction
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from builds.making.altering.retire import Retirement
from builds.making.part_names import (
    ANCHOR,
    CLIP,
    CONNECTOR,
    DOORWAY_PANEL,
    HAY,
    HIDE,
    PLAIN_PANEL,
    PUP_PANEL,
    RAMP_PANEL,
    WATER,
    part_name,
)
from builds.plans.models.builds import Build
from builds.store.models import movements
from builds.store.models.items import Item
from builds.store.models.offcuts import Offcut
from builds.store.models.places import Place
from builds.store.models.sheets import SheetKind
from builds.store.models.stock import Movement, Stock
from builds.store.models.turns import lock_stocks
from habitats.animals.models.groups import Group
from habitats.common.idempotency import made_before
from habitats.enclosures.models.changes import change_state
from habitats.enclosures.models.enclosures import (
    Enclosure,
    EnclosureEvent,
    EnclosureState,
    WorkTimes,
)
from habitats.linens.models.changes import take_out
from habitats.linens.models.linens import Linen
from habitats.linens.models.turns import lock_linens
from habitats.people.models.people import Person
from habitats.structure.design import PanelSize
from habitats.wording import message

KINDS = {
    PLAIN_PANEL: Item.Kind.PANEL,
    DOORWAY_PANEL: Item.Kind.DOORWAY,
    RAMP_PANEL: Item.Kind.RAMP,
    PUP_PANEL: Item.Kind.PANEL,
    CONNECTOR: Item.Kind.CONNECTOR,
    CLIP: Item.Kind.CLIP,
    ANCHOR: Item.Kind.ANCHOR,
    HIDE: Item.Kind.HIDE,
    WATER: Item.Kind.WATER,
    HAY: Item.Kind.HAY,
}
PANELS = (PLAIN_PANEL, DOORWAY_PANEL, RAMP_PANEL, PUP_PANEL)


class CannotRetire(Exception):
    """It cannot be retired as things are, so nothing was changed."""


class Hindrance(NamedTuple):
    """Why it cannot be retired now; ``group`` or ``build``: what has to go first, if it is one."""

    sentence: str
    group: Group | None = None
    build: Build | None = None


@dataclass(frozen=True, slots=True)
class PartBack:
    """So many parts come off. ``item``: what the store counts them as; None: it has no such item.

    ``wanted`` is the kind and name of the item that would count them; ``lies_in`` the key of the
    place where the most of the item lie, None where none do.
    """

    what: str
    count: int
    item: Item | None
    wanted: str
    lies_in: int | None = None

    @property
    def name(self) -> str:
        return part_name(self.what)


@dataclass(frozen=True, slots=True)
class CountedIn:
    """So many of a part were counted, and lie in a place of the store."""

    what: str
    item: Item
    count: int
    place: Place

    @property
    def name(self) -> str:
        return part_name(self.what)


class KeptOffcut(NamedTuple):
    """A piece cut out of a tray and kept; ``number`` is its place in ``Retirement.offcuts``."""

    number: int
    kind: SheetKind
    width_mm: int
    height_mm: int
    place: Place | None


class TakenBack(NamedTuple):
    """What went into the store when an enclosure was retired."""

    event: EnclosureEvent
    movements: list[Movement]
    offcuts: list[Offcut]


def parts_back(panel: PanelSize, retirement: Retirement) -> list[PartBack]:
    """The parts that come off, with the items that the store counts them as: two queries."""
    items = list(Item.objects.live().order_by("pk"))
    found = [(one, *_counted_as(one.what, panel, items)) for one in retirement.parts]
    usual = _usual_places([item for _one, item, _wanted in found if item])
    return [
        PartBack(one.what, one.count, item, wanted, usual.get(item.pk) if item else None)
        for one, item, wanted in found
    ]


def hindrance(enclosure: Enclosure) -> Hindrance | None:
    """What stands in the way of retiring it; None if nothing does."""
    last = enclosure.events.order_by("-pk").first()
    if last is None or last.state == EnclosureState.PLANNED:
        return Hindrance(
            _(
                "%(enclosure)s is only planned, so there is nothing to take down. "
                "If it will not be built, set its state to retired on its page."
            )
            % {"enclosure": enclosure}
        )
    if last.state == EnclosureState.RETIRED:
        return Hindrance(
            _("%(enclosure)s is retired already, since %(day)s.")
            % {"enclosure": enclosure, "day": date_format(last.on, _("j F Y"))}
        )
    stay = enclosure.stays.open().select_related("group").first()
    if stay:
        return Hindrance(
            _("Animals live in %(enclosure)s: %(group)s. Move them out before you take it down.")
            % {"group": stay.group.called(), "enclosure": enclosure},
            group=stay.group,
        )
    build = Build.objects.live().filter(enclosure=enclosure).first()
    if build:
        return Hindrance(
            _("“%(build)s” (%(code)s) is in progress for %(enclosure)s. Finish or stop it first.")
            % {"build": build, "code": build.code, "enclosure": enclosure},
            build=build,
        )
    return None


def linens_in(enclosure: Enclosure) -> list[Linen]:
    """The linens that lie in its spots, whether it still has the spot or not."""
    there = Linen.objects.filter(spot__enclosure=enclosure)
    return list(there.with_kind().select_related("spot").order_by("label"))


def retire_enclosure(
    enclosure: Enclosure,
    counted: Iterable[CountedIn],
    kept: Iterable[KeptOffcut],
    *,
    on: date,
    by: Person,
    work: WorkTimes | None = None,
    idempotency_key: uuid.UUID,
) -> EnclosureEvent:
    """Parts and offcuts go into the store, linens out and soiled, and it is retired: all or none.

    The same key again changes nothing. Raises ``CannotRetire`` for what ``hindrance`` names,
    and ``Elsewhere`` for a day before the last thing that was said of it.
    """
    with transaction.atomic():
        Enclosure.objects.select_for_update(of=("self",), no_key=True).get(pk=enclosure.pk)
        known = made_before(EnclosureEvent.objects, idempotency_key)
        if known:
            return known
        hindered = hindrance(enclosure)
        if hindered:
            raise CannotRetire(hindered.sentence)
        event = change_state(
            enclosure,
            EnclosureState.RETIRED,
            on=on,
            by=by,
            work=work,
            idempotency_key=idempotency_key,
        )
        _soil_linens(enclosure, on, by, idempotency_key)
        _take_in(enclosure, counted, by, idempotency_key)
        _store(kept, by, idempotency_key)
    return event


def _take_in(
    enclosure: Enclosure, counted: Iterable[CountedIn], by: Person, retired_as: uuid.UUID
) -> None:
    """Its parts, into the places that were named."""
    counted = sorted(counted, key=lambda one: (one.item.pk, one.place.pk))
    lock_stocks(one.item for one in counted)
    for one in counted:
        note = message(
            "Back from %(enclosure)s (%(code)s), retired: %(part)s",
            enclosure=enclosure.label,
            code=enclosure.code,
            part=one.name,
        )
        key = _of_part(retired_as, one.what)
        movements.take_in(one.item, one.place, one.count, by=by, idempotency_key=key, note=note)


def _store(kept: Iterable[KeptOffcut], by: Person, retired_as: uuid.UUID) -> None:
    """What is left of its trays and goes on as offcuts."""
    for piece in kept:
        Offcut.objects.store(
            piece.kind,
            piece.width_mm,
            piece.height_mm,
            by=by,
            place=piece.place,
            idempotency_key=_of_offcut(retired_as, piece.number),
        )


def taken_back(enclosure: Enclosure, retirement: Retirement) -> TakenBack | None:
    """What went into the store when it was retired; None while it is not."""
    event = enclosure.events.order_by("-pk").select_related("made_by").first()
    if event is None or event.state != EnclosureState.RETIRED:
        return None
    parts = [_of_part(event.idempotency_key, one.what) for one in retirement.parts]
    pieces = [
        _of_offcut(event.idempotency_key, number) for number in range(len(retirement.offcuts))
    ]
    offcuts = Offcut.objects.filter(idempotency_key__in=pieces).with_place()
    return TakenBack(
        event,
        list(Movement.objects.filter(idempotency_key__in=parts).with_names().order_by("pk")),
        list(offcuts.select_related("kind", "place").order_by("pk")),
    )


def _counted_as(what: str, panel: PanelSize, items: Sequence[Item]) -> tuple[Item | None, str]:
    """The oldest item in use that counts the part, and how one would be described."""
    alike = [one for one in items if one.kind == KINDS[what]]
    kind = str(KINDS[what].label)
    if what not in PANELS:
        return next(iter(alike), None), kind
    size = (panel.size_mm, panel.squares)
    found = (one for one in alike if (one.panel_mm, one.panel_squares) == size)
    wanted = _("%(kind)s, %(size)d mm, %(squares)d squares a side") % {
        "kind": kind,
        "size": panel.size_mm,
        "squares": panel.squares,
    }
    return next(found, None), wanted


def _usual_places(items: Sequence[Item]) -> dict[int, int]:
    """Where the most of each item lie, by the keys of both."""
    there = Stock.objects.filter(item__in=items, place__is_put_away=False).lying()
    rows = there.order_by("on_hand", "-place").values_list("item", "place")
    return dict(rows)


def _soil_linens(enclosure: Enclosure, on: date, by: Person, idempotency_key: uuid.UUID) -> None:
    there = linens_in(enclosure)
    lock_linens(there)
    for linen in there:
        assert linen.spot is not None
        take_out(
            linen.spot,
            linen.earliest(on),
            by=by,
            idempotency_key=uuid.uuid5(idempotency_key, linen.label),
        )


def _of_part(idempotency_key: uuid.UUID, what: str) -> uuid.UUID:
    """Movements hold it as it was made when these codes had spaces."""
    return uuid.uuid5(idempotency_key, f"part {what.replace('-', ' ')}")


def _of_offcut(idempotency_key: uuid.UUID, number: int) -> uuid.UUID:
    return uuid.uuid5(idempotency_key, f"offcut {number}")
