"""Rows to be, written in bulk: the demo's, and those of networks to measure with."""

import uuid
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from random import Random
from typing import Any

from django.db import models
from django.utils import timezone

from habitats.animals.models.animals import Animal, Weighing
from habitats.common.codes import CODE_LENGTH, CODE_MARKS
from habitats.people.models.people import Person
from habitats.structure.design import Species
from habitats.welfare.growth import guide_g

AT_ONCE = 1_000  # rows written in one go
RABBIT_G, GROWN_DAYS = 2_400, 200
MORNING = time(9)


def morning_of(day: date) -> datetime:
    """A moment of that day, and never in the future."""
    return min(timezone.make_aware(datetime.combine(day, MORNING)), timezone.now())


@dataclass(slots=True)
class Network:
    """Rows to be, in the order in which they must be written."""

    by: Person
    today: date
    random: Random
    rows: dict[type[models.Model], list[models.Model]] = field(default_factory=dict)
    codes: set[str] = field(default_factory=set)
    names: Counter[str] = field(default_factory=Counter)

    def add(self, model: type[models.Model], **facts: Any) -> Any:
        made = model(**facts)
        self.rows.setdefault(model, []).append(made)
        return made

    def in_order(self, *models_: type[models.Model]) -> None:
        """Let rows of these be written in this order, whichever of them comes first."""
        for model in models_:
            self.rows.setdefault(model, [])

    def code(self) -> str:
        while True:
            code = "".join(self.random.choices(CODE_MARKS, k=CODE_LENGTH))
            if code not in self.codes:
                self.codes.add(code)
                return code

    def idempotency_key(self) -> uuid.UUID:
        return uuid.UUID(int=self.random.getrandbits(128), version=4)

    def happened(self, model: type[models.Model], **facts: Any) -> Any:
        return self.add(model, idempotency_key=self.idempotency_key(), made_by=self.by, **facts)

    def day(self, ago: int) -> date:
        return self.today - timedelta(days=ago)

    def moment(self, ago: int) -> datetime:
        return morning_of(self.day(ago))

    def span(self, model: type[models.Model], since: int, until: int | None, **facts: Any) -> Any:
        """From so many days ago until so many days ago; None: it lasts."""
        ended = {} if until is None else {"until": self.day(until), "ended_by": self.by}
        facts |= {"since": self.day(since), "made_at": self.moment(since)}
        return self.happened(model, **ended, **facts)

    def another(self, name: str) -> str:
        """The name with a number, so that no two share one."""
        self.names[name] += 1
        return f"{name} {self.names[name] + 1}"

    def write(self) -> None:
        for model, rows in self.rows.items():
            # Mothers before their young: a row points only to what has been written.
            for batch in ([r for r in rows if not _young(r)], [r for r in rows if _young(r)]):
                model._default_manager.bulk_create(batch, batch_size=AT_ONCE)
        self.rows.clear()


def _young(row: models.Model) -> bool:
    return isinstance(row, Animal) and row.mother is not None


def weigh(net: Network, animal: Animal, age: int, days: Sequence[int]) -> list[int]:
    """Weighed on each of these days, given in days ago; what it weighed."""
    random, species = net.random, Species(animal.species)
    stature = random.uniform(0.6, 0.9)
    grams = []
    for ago in days:
        guide = guide_g(species, age - ago) or RABBIT_G * min(1, (age - ago) / GROWN_DAYS)
        grams.append(max(60, round(guide * stature * random.uniform(0.98, 1.02))))
        net.happened(Weighing, animal=animal, grams=grams[-1], on=net.day(ago))
    return grams
