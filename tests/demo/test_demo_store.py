"""The demo's store: something to plan from, and nothing doubled by a second run."""

from django.core.management import call_command

from builds.batches.models.batches import Batch
from builds.demo.store import ITEMS, LINES, OFFCUTS, PLACES, SHEETS, SUPPLIERS
from builds.pulls.models.pulls import Pull
from builds.store.models.buying import what_to_buy
from builds.store.models.items import Item
from builds.store.models.needs import Needs
from builds.store.models.places import Place
from builds.store.models.sheets import Offcut, SheetKind
from builds.store.models.stock import Movement
from builds.store.models.suppliers import PackOffer


def test_the_demo_has_a_store_and_a_batch_to_plan(db):
    call_command("demo")

    assert Place.objects.count() == len(PLACES)
    assert SheetKind.objects.count() == len(SHEETS)
    assert Offcut.objects.in_store().count() == len(OFFCUTS)
    assert Batch.objects.get().lines.count() == len(LINES)


def test_a_second_run_adds_nothing(db):
    call_command("demo")
    call_command("demo")

    lines = sum(len(lying) for *_facts, lying in ITEMS)
    assert Movement.objects.filter(why="in").count() == len(SHEETS) + lines
    assert Pull.objects.filter(plan__isnull=False).count() == 2
    assert Item.objects.count() == len(ITEMS) + len(SHEETS)
    assert PackOffer.objects.count() == sum(len(packs) for _name, _note, packs in SUPPLIERS)
    assert Offcut.objects.count() == len(OFFCUTS)
    assert Batch.objects.get().lines.count() == len(LINES)


def test_the_demo_has_something_to_buy_at_more_than_one_supplier(db):
    call_command("demo")

    found = what_to_buy(Needs(), top_up=True)

    assert len(found.orders) > 1
    assert found.unsold == found.too_few == ()
