"""Items from a file, with a first count of what lies there and what a pack costs."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date
from typing import Any

from builds.store.models.first_counts import AT_ONCE, FirstCount, count_first
from builds.store.models.items import Item
from builds.store.models.places import Place
from builds.store.models.suppliers import PackOffer, Supplier
from habitats.imports import ImportFault, ImportRow, ImportSheet
from habitats.imports.items import CLOTH, PANELS
from habitats.measures import METRES
from habitats.people.models.people import Person
from habitats.records.models.imports.plan import (
    Arrival,
    Plan,
    Sorted,
    in_order,
    planned,
    sort_by_name,
)
from habitats.rescue.models.rescue import Rescue
from habitats.rotation.buying import USUAL_CLOTH_MM
from habitats.wording import message

_IN_METRES = ("tape", CLOTH)


def plan(sheet: ImportSheet, today: date) -> Plan:
    places, panel = _Places(), Rescue.ours().panel

    def look(arrival: Arrival) -> Arrival | ImportFault:
        values = arrival.row.values
        size = values["panel_mm"], values["panel_squares"]
        if values["kind"] in PANELS and size == (None, None):
            if panel is None:
                return arrival.row.fault("panel_mm", _NO_PANEL)
            size = panel.size_mm, panel.squares
        place, fault = places.called(arrival.row)
        return fault or arrival._replace(refs={"size": size, "place": place})

    found = planned(_sorted(sheet), look)
    return replace(found, doubts=in_order((*places.new.values(), *_sold_by_archived(found.new))))


def _sold_by_archived(new: Sequence[Arrival]) -> Iterator[ImportFault]:
    """Rows with the price of a supplier whose prices nothing is bought at."""
    sold = [one.row for one in new if one.row.values["supplier"]]
    suppliers = Supplier.objects.filter(is_put_away=True) if sold else ()
    archived = {one.name.casefold() for one in suppliers}
    for row in sold:
        if row.values["supplier"].casefold() in archived:
            yield row.fault("supplier", _ARCHIVED_SUPPLIER)


def write(new: Sequence[Arrival], by: Person) -> None:
    items = [_item(arrival) for arrival in new]
    Item.objects.bulk_create(items, batch_size=AT_ONCE)
    _offer(list(zip(new, items, strict=True)))
    made: dict[str, Place] = {}
    counts = []
    for arrival, item in zip(new, items, strict=True):
        count, place = arrival.row.values["on_hand"], arrival.refs["place"]
        if count is None:
            continue
        if not isinstance(place, Place):
            if place not in made:
                made[place] = Place.objects.add(place) if place else Place.objects.usual()
            place = made[place]
        counts.append(FirstCount(item, place, count))
    count_first(counts, by=by)


def _offer(rows: Sequence[tuple[Arrival, Item]]) -> None:
    """The packs that rows tell a price of; suppliers by name, however it is capitalised."""
    sold = [(arrival.row.values, item) for arrival, item in rows if arrival.row.values["supplier"]]
    suppliers = {one.name.casefold(): one for one in Supplier.objects.all()} if sold else {}
    for values, _item_sold in sold:
        name = values["supplier"]
        if name.casefold() not in suppliers:
            suppliers[name.casefold()] = Supplier.objects.create(name=name)
    PackOffer.objects.bulk_create(
        (
            PackOffer(
                supplier=suppliers[values["supplier"].casefold()],
                item=item,
                count=values["pack_count"] or 1,
                price=values["pack_price"],
            )
            for values, item in sold
        ),
        batch_size=AT_ONCE,
    )


_NO_PANEL = message(
    "A panel has a size. Write panel_mm and panel_squares, or enter the panel of your rescue under "
    "Settings first."
)
_PUT_AWAY = message("This place is archived. Name another one, or take it into use again.")
_ARCHIVED_SUPPLIER = message(
    "This supplier is archived. Its price is saved, but nothing is bought at it until you take the "
    "supplier into use again."
)
_NEW_PLACE = message("There is no place with this name or code yet. The import makes it.")


def _item(arrival: Arrival) -> Item:
    values = arrival.row.values
    size_mm, squares = arrival.refs["size"]
    return Item(
        panel_mm=size_mm,
        panel_squares=squares,
        unit=METRES if values["kind"] in _IN_METRES else values["unit"],
        cloth_mm=(values["cloth_mm"] or USUAL_CLOTH_MM) if values["kind"] == CLOTH else None,
        **{name: values[name] for name in ("name", "kind", "reorder_at")},
    )


def _sorted(sheet: ImportSheet) -> Sorted:
    """By kind and name, as no two items have the same."""
    here = set(Item.objects.values_list("kind", "name"))

    def named(row: ImportRow) -> tuple[str, str]:
        return row.values["kind"], row.values["name"]

    return sort_by_name(sheet, "name", named, lambda row: named(row) in here)


class _Places:
    """Places by name and code. ``new``: what a row names that is not there, by its name."""

    def __init__(self) -> None:
        places = list(Place.objects.all())
        self.there = {place.code.casefold(): place for place in places}
        self.there |= {place.name.casefold(): place for place in places}
        self.new: dict[str, ImportFault] = {}
        self._written: dict[str, str] = {}

    def called(self, row: ImportRow) -> tuple[Any, ImportFault | None]:
        """A place, or the name of one to be made, empty for the usual one; or a fault."""
        name = row.values["place"]
        place = self.there.get(name.casefold())
        if not name or (place and not place.is_put_away):
            return place or "", None
        if place:
            return None, row.fault("place", _PUT_AWAY)
        # However a later row capitalises it, it is the one place.
        name = self._written.setdefault(name.casefold(), name)
        self.new.setdefault(name, row.fault("place", _NEW_PLACE))
        return name, None
