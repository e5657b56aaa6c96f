"""The demo's store: something to plan from, bought for money, nothing doubled by a second run."""

from io import StringIO

from django.core.management import call_command

from builds.batches.models.batches import Batch
from builds.batches.models.cutting_jobs import CuttingJob
from builds.demo.cuts import NAME
from builds.demo.store import BATCH, DELIVERIES, ITEMS, LINES, OFFCUTS, PLACES, SHEETS, SUPPLIERS
from builds.pulls.models.pulls import Pull
from builds.store.models.buying import what_to_buy
from builds.store.models.costs import prices_of
from builds.store.models.items import Item
from builds.store.models.needs import Needs
from builds.store.models.offcuts import Offcut
from builds.store.models.places import Place
from builds.store.models.sheets import SheetKind
from builds.store.models.spending import spending, stock_worth
from builds.store.models.stock import Movement
from builds.store.models.suppliers import PackOffer
from habitats.designs.models.designs import Design
from habitats.designs.models.structures import structure_of


def test_the_demo_has_a_store_a_batch_to_plan_and_one_that_is_cut(demo):
    assert Place.objects.count() == len(PLACES)
    assert SheetKind.objects.count() == len(SHEETS)
    assert Offcut.objects.in_store().count() >= len(OFFCUTS)
    assert Batch.objects.get(name=BATCH).lines.count() == len(LINES)
    assert CuttingJob.objects.with_state().get(batch__name=NAME).state == CuttingJob.State.CUT


def test_a_second_run_adds_nothing(demo):
    moved, offcuts = Movement.objects.count(), Offcut.objects.count()

    call_command("demo", stdout=StringIO())

    assert (Movement.objects.count(), Offcut.objects.count()) == (moved, offcuts)
    assert Pull.objects.filter(plan__isnull=False).count() == 2
    assert Item.objects.count() == len(ITEMS) + len(SHEETS)
    assert PackOffer.objects.count() == sum(len(packs) for _name, _note, packs in SUPPLIERS)
    assert Batch.objects.count() == 2


def test_the_demo_has_something_to_buy_at_more_than_one_supplier(demo):
    found = what_to_buy(Needs(), top_up=True)

    assert len(found.orders) > 1
    assert found.unsold == found.too_few == ()


def test_every_delivery_has_its_price_and_all_that_lies_there_its_worth(demo):
    spent, worth = spending(), stock_worth()

    assert spent.unknown == worth.unknown == 0
    assert sum(month.deliveries for month in spent.months) == len(DELIVERIES)
    assert len(spent.months) >= 5
    assert worth.worth > 0


def test_every_design_that_can_be_made_has_a_cost_without_a_gap(demo):
    shapes = [one.current.shape() for one in Design.objects.with_revision() if not one.faults()]

    for priced in prices_of(structure_of(shape) for shape in shapes):
        assert priced.material > 0
        assert priced.cost.material_unknown == priced.cost.buy_unknown == 0


def test_the_ledger_runs_forwards(demo):
    for item in Item.objects.all():
        moments = list(item.movements.order_by("place", "number").values_list("place", "made_at"))
        assert moments == sorted(moments)
