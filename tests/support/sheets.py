"""A store with sheets, a batch and its cutting job, for tests."""

from decimal import Decimal

from builds.batches import tasks
from builds.batches.models.batches import Batch
from builds.batches.models.cutting_jobs import CuttingJob, stock_id
from builds.cutting import StockSheet
from builds.sheets import OfferedSheet, OrderLine, SheetOffer, SheetOrder, offer_document
from builds.store.models.offcuts import Offcut
from builds.store.models.places import Place
from builds.store.models.sheets import SheetKind
from habitats.designs.models.designs import Design
from habitats.people.models.people import Person
from habitats.structure.structure import raise_structure
from tests.support.designs import make_design

FULL = OfferedSheet(StockSheet("sheet:1", 1220, 2440, None, Decimal("24.50")), "Full sheet")
SHORT = OfferedSheet(StockSheet("sheet:2", 1000, 2000, None, Decimal("17.20")), "Short sheet")


def line_of(plan: list[str], count: int = 1, who_for: str = "", **changes: object) -> OrderLine:
    """A line of an order, without a database."""
    design = make_design(plan, **changes)
    return OrderLine(design.name, "K7MXQ2", count, who_for, raise_structure(design))


def order_of(
    *lines: OrderLine, stock: tuple[OfferedSheet, ...] = (FULL,), **offer: object
) -> SheetOrder:
    return SheetOrder(lines, SheetOffer(stock, **{"seconds": 0.05} | offer))


def make_kind(**changes: object) -> SheetKind:
    usual = {"name": "Full sheet", "width_mm": 1220, "height_mm": 2440, "thickness_mm": 4}
    return SheetKind.objects.create(**usual | {"cost": Decimal("24.50")} | changes)


def on_hand(kind: SheetKind) -> int:
    """How many sheets of it there are over all places."""
    return SheetKind.objects.with_on_hand().get(pk=kind.pk).on_hand


def make_place(name: str = "Rack") -> Place:
    """The place of this name, made if there is none."""
    return Place.objects.filter(name=name).first() or Place.objects.add(name)


def offer_of(*stock: SheetKind | Offcut, **changes: object) -> SheetOffer:
    """Any number of each kind of sheet, and each offcut once."""
    return SheetOffer(tuple(_offered(one) for one in stock), **{"seconds": 0.1} | changes)


def _offered(one: SheetKind | Offcut) -> OfferedSheet:
    size = (one.width_mm, one.height_mm)
    if isinstance(one, Offcut):
        return OfferedSheet(
            StockSheet(stock_id(one), *size, 1, Decimal(0)), f"Offcut {one.label}", True
        )
    return OfferedSheet(StockSheet(stock_id(one), *size, None, Decimal(one.cost)), one.name)


def make_batch(by: Person, *plans: list[str], count: int = 1, who_for: str = "Ash") -> Batch:
    """A batch of a design for each plan, so many builds of each."""
    batch = Batch.objects.begin("Saturday", by=by)
    for plan in plans or (["####", "####"],):
        design = Design.objects.draw(make_design(plan, name="Two by four"), by=by)
        batch.add(design, count, who_for)
    return batch


def make_job(by: Person, *stock: SheetKind | Offcut, batch: Batch | None = None) -> CuttingJob:
    """A job that is worked out."""
    offer = offer_of(*(stock or (make_kind(),)))
    job = (batch or make_batch(by)).job(offer_document(offer), by=by)
    tasks.begin(job, 0.5)
    return loaded(job)


def loaded(job: CuttingJob) -> CuttingJob:
    """The job as a page loads it."""
    return CuttingJob.objects.with_state().get(pk=job.pk)


def cut_up(job: CuttingJob, by: Person, place: str = "Rack") -> CuttingJob:
    """The job, cut, with every offcut kept."""
    run = job.best_run()
    places = dict.fromkeys(range(len(run.found().offcuts_to_keep)), make_place(place))
    job.mark_cut(run, places, by=by)
    return loaded(job)
