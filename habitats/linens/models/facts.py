"""Facts of linens that two people may change at once."""

from django.db import models
from django.utils.translation import gettext as _

from habitats.basis import Fact
from habitats.common.facts import fact
from habitats.common.written import given, written
from habitats.enclosures.models.enclosures import Enclosure
from habitats.linens.models.linens import Linen, LinenKind
from habitats.linens.models.loads import Load
from habitats.linens.models.pools import Pool
from habitats.rotation.states import State


def linens_in_it(enclosure: Enclosure) -> list[Fact]:
    """Which linen lies in which place: the next change takes those out."""
    rows = _LYING(enclosure=enclosure)
    return [
        fact(
            enclosure,
            "linens",
            _("Linens in it"),
            ",".join(f"{spot}:{label}" for spot, label in rows),
            ", ".join(label for _spot, label in rows),
        )
    ]


def change_plan(enclosure: Enclosure) -> list[Fact]:
    plan = getattr(enclosure, "change_plan", None)
    days = plan.interval_days if plan else None
    bare = enclosure.spots.filter(gone_on__isnull=True, is_lined=False).order_by("pk")
    names = list(bare.values_list("name", flat=True))
    keys = ",".join(str(key) for key in bare.values_list("pk", flat=True))
    return [
        fact(enclosure, "interval_days", _("Days between changes"), days),
        fact(enclosure, "bare", _("Places without a linen"), keys, ", ".join(names)),
    ]


def drawing_homes(pool: Pool) -> list[Fact]:
    rows = list(pool.homes.order_by("name", "pk").values_list("pk", "name"))
    keys = ",".join(str(key) for key, _name in rows)
    return [fact(pool, "homes", _("Homes supplied"), keys, ", ".join(n for _k, n in rows))]


def clean_ones(pool: Pool) -> list[Fact]:
    found = pool.linens.in_state("clean").order_by().values("size")
    rows = sorted(found.annotate(count=models.Count("pk")).values_list("size", "count"))
    keys = ",".join(f"{size}:{count}" for size, count in rows)
    total = sum(count for _size, count in rows)
    return [
        fact(pool, "clean", _("Clean linens"), keys, _("%(number)d in all") % {"number": total})
    ]


def put_away(kind: LinenKind) -> list[Fact]:
    words = _("archived") if kind.put_away_on else _("in use")
    return [fact(kind, "put_away_on", _("State"), kind.put_away_on, words)]


def state_of_linen(linen: Linen) -> list[Fact]:
    where = linen.spot_id
    return [
        fact(
            linen,
            "state",
            _("State"),
            f"{linen.state} {where} {linen.pool_id}",
            linen.state_words,
        ),
    ]


def states_in(load: Load) -> list[Fact]:
    """How many linens of the load are how far."""
    found = list(load.linens().order_by("label").values_list("label", "state"))
    numbers: dict[str, int] = {}
    for _label, now in found:
        numbers[now] = numbers.get(now, 0) + 1
    words = ", ".join(f"{number} {State(now).words}" for now, number in sorted(numbers.items()))
    keys = ",".join(f"{label}:{now}" for label, now in found)
    return [fact(load, "linens", _("Linens of the load"), keys, words)]


_LYING = written(
    lambda: (
        Linen.objects.filter(spot__enclosure=given("enclosure", Enclosure))
        .order_by("spot")
        .values_list("spot", "label")
    )
)
