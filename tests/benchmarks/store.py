"""How long the store's pages take over a long ledger: `python -m tests.benchmarks.store [LINES]`.

A million movements unless told otherwise, of 400 items in 20 places, over three years, written into
a database file of its own. Half of them are of one place, a tenth of one item. A page is asked for
many times through the whole of Django; what is told is the median of the processor's time, and of
the clock's, which on a busy machine is longer. `KEEP=folder` keeps the database; `DATABASE_URL`
names another one, such as a PostgreSQL, which has to be empty.
"""

import os
import random
import sys
import time
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory

LINES, ITEMS, PLACES, DAYS, ROUNDS, AT_ONCE = 1_000_000, 400, 20, 1000, 15, 5000
AT_MOST_MS = {"a place's own page": 150.0}


def main() -> None:
    lines = int(sys.argv[1]) if sys.argv[1:] else LINES
    with TemporaryDirectory() as folder:
        kept = Path(os.environ.get("KEEP", folder)).resolve() / f"store-{lines}.sqlite3"
        os.environ.setdefault("DATABASE_URL", f"sqlite:///{kept}")
        os.environ["DJANGO_SETTINGS_MODULE"] = "tests.settings"
        _measure(lines)


def _measure(lines: int) -> None:
    import django

    django.setup()
    from django.core.management import call_command

    from builds.store.models.items import Item
    from builds.store.models.stock import Movement

    call_command("migrate", verbosity=0)
    if not Movement.objects.exists():
        _fill(lines)
    print(f"{Movement.objects.count()} movements of {Item.objects.count()} items")
    for name, address in _pages().items():
        cpu, clock = _timed(address)
        limit = f"  (at most {AT_MOST_MS[name]:.0f} ms)" if name in AT_MOST_MS else ""
        print(f"  {name:32} {cpu:9.1f} ms, by the clock {clock:9.1f} ms{limit}")


def _pages() -> dict[str, str]:
    from django.utils import timezone

    from builds.store.models.items import Item

    item = Item.objects.order_by("pk")[0]
    day = (timezone.localdate() - timedelta(days=DAYS // 2)).isoformat()
    return {
        "a place's own page": "/store/places/P0/",
        "a place, 500 days ago": f"/store/places/P0/?on={day}",
        "an item's own page": f"/store/items/{item.pk}/",
        "its ledger, last page": f"/store/items/{item.pk}/?page=999999",
        "an item, 500 days ago": f"/store/items/{item.pk}/?on={day}",
        "store, by item": "/store/",
        "store, by item, 500 days ago": f"/store/?on={day}",
        "store, by place": "/store/places/",
        "a stocktake's form": "/store/places/P0/count/",
        "buying list": "/store/buying/",
    }


def _timed(address: str) -> tuple[float, float]:
    from django.test import Client

    from habitats.people.models.people import Person

    client = Client()
    person = Person.objects.get(username="odile")
    client.force_login(person, backend="django.contrib.auth.backends.ModelBackend")
    taken = []
    for _round in range(ROUNDS):
        cpu, clock = time.process_time(), time.perf_counter()
        response = client.get(address)
        taken.append((1000 * (time.process_time() - cpu), 1000 * (time.perf_counter() - clock)))
        assert response.status_code == 200, (address, response.status_code)
    return median(one[0] for one in taken), median(one[1] for one in taken)


def _fill(lines: int) -> None:
    """Write the ledger past the verbs, which would take a day, and what it left beside it."""
    from builds.store.models.items import Item
    from builds.store.models.places import Place
    from builds.store.models.stock import Movement, Stock
    from habitats.people.models.people import Person

    chance = random.Random(1)
    by = Person.objects.create_user("odile", roles="coordinator")
    places = Place.objects.bulk_create(
        Place(code=f"P{n}", name=f"Place {n}") for n in range(PLACES)
    )
    items = Item.objects.bulk_create(
        Item(kind="other", name=f"Item {n}", reorder_at=30) for n in range(ITEMS)
    )
    stocks: dict[tuple[int, int], Stock] = {}
    made: list[Movement] = []
    for movement in _movements(lines, items, places, by, stocks, chance):
        made.append(movement)
        if len(made) == AT_ONCE:
            Movement.objects.bulk_create(made)
            made.clear()
    Movement.objects.bulk_create(made)
    Stock.objects.bulk_create(stocks.values())


def _movements(lines, items, places, by, stocks, chance) -> Iterator:  # type: ignore[no-untyped-def]
    from django.utils import timezone

    from builds.store.models.stock import Movement, Stock

    begun = timezone.now() - timedelta(days=DAYS)
    for line in range(lines):
        place = places[0] if chance.random() < 0.5 else chance.choice(places)
        item = items[0] if chance.random() < 0.1 else chance.choice(items)
        stock = stocks.setdefault((item.pk, place.pk), Stock(item=item, place=place))
        change = chance.randint(1, 60) if stock.on_hand < 100 else -chance.randint(1, 60)
        stock.on_hand += change
        stock.number += 1
        stock.moved_at = begun + timedelta(days=DAYS) * line / lines
        yield Movement(
            item=item,
            place=place,
            number=stock.number,
            why="in" if change > 0 else "out",
            on_hand_change=change,
            on_hand=stock.on_hand,
            reserved=0,
            made_by=by,
            made_at=stock.moved_at,
        )


if __name__ == "__main__":
    main()
