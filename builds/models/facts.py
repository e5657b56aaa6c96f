"""What pages of builds and the store show of things that two people may change at once."""

from typing import NamedTuple

from django.db import models

from builds.models.batches import Batch, BatchLine
from builds.models.builds import Build, BuildState
from builds.models.cutting_jobs import CuttingJob
from builds.models.deliveries import Delivery, ToReverse
from builds.models.follow_ups import FollowUpDone
from builds.models.inspections import Repair
from builds.models.items import Item
from builds.models.kits import Kit
from builds.models.places import Place
from builds.models.store import Offcut, SheetKind
from builds.models.suppliers import PackOffer, Supplier
from habitats.basis import Fact
from habitats.models import Design
from habitats.models.facts import NONE, fact, fields_of

# As many as one form's token has room for, and the state beside them.
MOST_ITEMS = 100

# --- Builds ---


def build_state(build: Build) -> list[Fact]:
    now = build.state_now()
    return [fact(build, "state", "State", now, BuildState(now).label)]


def assignment(build: Build) -> list[Fact]:
    """What the form of a build holds: for whom, by whom, when."""
    people = list(build.people.order_by("first_name", "last_name", "pk"))
    keys = ",".join(str(one.pk) for one in people)
    names = ", ".join(str(one) for one in people)
    return [
        *fields_of(build, ("name", "home", "adopter", "planned_on", "notes")),
        fact(build, "people", "Who builds", keys, names),
    ]


def plan_number(build: Build) -> Fact:
    plan = build.plans.newest_first().first()
    number = plan.number if plan else None
    return fact(build, "plan", "Plan", number, f"plan {number}" if number else NONE)


def plan_and_state(build: Build) -> list[Fact]:
    return [plan_number(build), *build_state(build)]


def plan_and_inspection(build: Build) -> list[Fact]:
    """What an inspection is of, and whether somebody else inspected meanwhile.

    Not the state: a page that a phone stored ahead is signed after the work that begins the build.
    """
    last = build.inspections.order_by("-pk").first()
    words = f"inspected on {last.on:%-d %B %Y}, signed {last.signed}" if last else NONE
    return [
        plan_number(build),
        fact(build, "inspection", "Last inspection", last.pk if last else None, words),
    ]


def plan_and_design(build: Build) -> list[Fact]:
    """Which plan stands, and how far its design was drawn on since."""
    plan = build.plans.newest_first().select_related("revision__design").first()
    drawn = plan.revision.design.current if plan else None
    words = f"revision {drawn.number}" if drawn else NONE
    drawing = fact(build, "drawing", "Design", drawn.pk if drawn else None, words)
    return [plan_number(build), drawing, *build_state(build)]


def repair_done(repair: Repair) -> list[Fact]:
    done = getattr(repair, "done", None)
    words = f"mended on {done.on:%-d %B %Y}, {done.by}" if done else "open"
    return [fact(repair, "done", "This repair", done.pk if done else None, words)]


def name_of(design: Design) -> list[Fact]:
    drawn = design.current
    return [fact(design, "name", "Name", drawn.pk if drawn else design.name, design.name)]


# --- Kits ---


class Packed(NamedTuple):
    """How many of one line are in the box of a build's kit."""

    build: Build
    what: str
    number: int


def packed(line: Packed) -> list[Fact]:
    told = fact(line.build, f"packed {line.what}", line.what.capitalize(), line.number)
    return [told._replace(words=f"{line.number} in the box")]


def linens_of_kit(kit: Kit) -> list[Fact]:
    names = ("linen_sets", "liner_kind", "towel_kind")
    return [one._replace(of=f"kit of build {kit.build_id}") for one in fields_of(kit, names)]


def follow_up_days(build: Build) -> list[Fact]:
    last = build.follow_ups.last_words().order_by("number").values_list("number", "on")
    days = ",".join(f"{number}:{on}" for number, on in last)
    words = ", ".join(f"{on:%-d %B %Y}" for _number, on in last if on)
    return [fact(build, "follow_ups", "Days to ask on", days, words)]


class Asked(NamedTuple):
    build: Build
    number: int


def follow_up_done(asked: Asked) -> list[Fact]:
    done = FollowUpDone.objects.filter(build=asked.build, number=asked.number).first()
    words = f"asked on {done.on:%-d %B %Y}" if done else "not asked yet"
    name = f"follow-up {asked.number}"
    return [fact(asked.build, name, "Follow-up", done.pk if done else None, words)]


# --- Cutting ---


def lines_of(batch: Batch) -> list[Fact]:
    lines = list(BatchLine.objects.of_batch(batch))
    keys = ",".join(f"{one.pk}:{one.count}" for one in lines)
    words = ", ".join(f"{one.count} × {one.revision.design}" for one in lines)
    return [fact(batch, "lines", "What is cut", keys, words)]


def job_now(job: CuttingJob) -> list[Fact]:
    """Whether it is cut or given up, and which plan is its best."""
    end, run = job.end_or_none(), job.best_run()
    words = str(job.State(end.what).label) if end else "not cut"
    number = run.number if run else None
    return [
        fact(job, "ending", "This job", end.pk if end else None, words),
        fact(job, "run", "Cutting plan", run.pk if run else None, f"plan {number}"),
    ]


# --- The store ---


def put_away(row: Place | Item | Supplier | PackOffer) -> list[Fact]:
    words = "put away" if row.is_put_away else "in use"
    return [fact(row, "is_put_away", "State", row.is_put_away, words)]


def delivery_now(delivery: Delivery) -> list[Fact]:
    """Whether it was reversed; while it was not, what the store has of each of its items."""
    words = "reversed" if delivery.is_reversed else "received"
    state = fact(delivery, "state", "This delivery", words)
    if delivery.is_reversed:
        return [state]
    rows = delivery.to_reverse()
    if len(rows) > MOST_ITEMS:
        told = ";".join(_figures(row) for row in rows)
        return [state, fact(delivery, "items", "The store", told, "see the figures below")]
    return [state, *(_of_item(delivery, row) for row in rows)]


def _of_item(delivery: Delivery, row: ToReverse) -> Fact:
    kept = sum(held.count for held in row.held)
    words = f"{row.here} in {delivery.place.code}, {row.elsewhere} elsewhere, {kept} reserved"
    words += ", counted since" if row.is_counted else ""
    return fact(delivery, f"item {row.item.pk}", str(row.item), _figures(row), words)


def _figures(row: ToReverse) -> str:
    held = ",".join(f"{one.build.pk if one.build else 0}={one.count}" for one in row.held)
    return f"{row.item.pk}:{row.here}:{row.elsewhere}:{row.moved}:{row.is_counted:d}:{held}"


def retired(kind: SheetKind) -> list[Fact]:
    words = "put away" if kind.is_retired else "in use"
    return [fact(kind, "retired_at", "State", kind.retired_at, words)]


def lies(offcut: Offcut) -> list[Fact]:
    is_there = type(offcut).objects.in_store().filter(pk=offcut.pk).exists()
    place: models.Model | None = offcut.place
    words = str(place or "no place said") if is_there else "no longer in the store"
    return [fact(offcut, "place", "Lies in", f"{offcut.place_id} {is_there}", words)]
