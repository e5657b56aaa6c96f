"""The demo's builds, as a building day leaves them: ahead, under way, to mend, handed over.

All invented; times are counted back from the day on which the demo is brought in.
"""

import uuid
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import date, datetime, timedelta
from typing import NamedTuple

from django.utils import timezone

from builds.building.models.handing_over import hand_over_to_home
from builds.building.models.inspecting import inspect
from builds.building.models.inspections import Answered
from builds.building.models.intake import take
from builds.demo.kits import gone, packing, ticked_by_the_adopter
from builds.making.part_names import TIE
from builds.plans.models.builds import Build, BuildState
from builds.plans.models.planning import plan_build
from builds.plans.models.progress import Progress
from habitats.common.idempotency import made_before
from habitats.designs.models.designs import Design
from habitats.homes.models.homes import Home
from habitats.people.models.people import Person

PLANNED_AGO, DAYS_GONE = 9, 3
HOURS = 9  # ago, the building day began
FAILED = {
    "tails": "Two stubs stand out inside, at the joint in the middle of the long side.",
    "tray": "The tape at the north-east corner lifts.",
}


@dataclass(slots=True)
class _Crew:
    """Who builds, and a clock that runs on with each thing that is done."""

    coordinator: Person
    builders: list[Person]
    today: date
    names: uuid.UUID
    clock: datetime = field(default_factory=timezone.now)

    def idempotency_key(self, *words: object) -> uuid.UUID:
        return uuid.uuid5(self.names, " ".join(str(word) for word in ("build", *words)))

    def does(self, build: Build, who: Person, kind: str, step: str = "", **more: object) -> None:
        """One act, some minutes after the last."""
        self.clock += timedelta(minutes=7)
        idempotency_key = self.idempotency_key(build.name, kind, step, who.username, *more.values())
        take(
            who,
            build,
            {"once": idempotency_key, "kind": kind, "step": step, "at": self.clock, **more},
            self.clock,
        )

    def ticks(self, build: Build, count: int) -> None:
        """The first steps that are not ticked yet, by the builders in turn."""
        steps = [s for s in Progress(build, "metric").steps if not s.is_done][:count]
        for number, step in enumerate(steps):
            self.does(build, self.builders[number % len(self.builders)], "tick", step.step.key)

    def inspects(self, build: Build, failed: dict[str, str]) -> None:
        points = build.plans.newest_first()[0].questions
        answers = [
            Answered(p["code"], p["question"], p["code"] not in failed, failed.get(p["code"], ""))
            for p in points
        ]
        self.clock += timedelta(minutes=7)
        inspect(
            build,
            answers,
            signed=self.coordinator.full_name,
            on=self.today,
            at=self.clock,
            by=self.coordinator,
            idempotency_key=self.idempotency_key(build.name, "inspection"),
        )


def fill_builds(coordinator: Person, builders: list[Person], today: date, names: uuid.UUID) -> None:
    """Bring in what is missing; ``names`` makes the UUIDs by which it is found again."""
    crew = _Crew(coordinator, builders, today, names)
    homes = {home.name: home for home in Home.objects.order_by("-pk")}
    for told in BUILDS:
        _plan(crew, told, homes.get(told.home) or Home.objects.first())


def _plan(crew: _Crew, told: "ToldBuild", home: Home | None) -> None:
    idempotency_key = crew.idempotency_key(told.name)
    design = Design.objects.with_revision().filter(name=told.design).first()
    if design is None or design.current is None or made_before(Build.objects, idempotency_key):
        return
    build = plan_build(
        design.current,
        told.name,
        by=crew.coordinator,
        on=crew.today - timedelta(days=PLANNED_AGO),
        people=crew.builders,
        idempotency_key=idempotency_key,
        home=None if told.adopter else home,
        adopter=told.adopter,
        planned_on=crew.today + timedelta(days=told.days),
    )
    crew.clock = timezone.now() - timedelta(hours=HOURS)
    told.tell(crew, build)


def _ahead(crew: _Crew, build: Build) -> None:
    build.notes = "The door is 76 cm wide: fold the trays in the room, not in the yard."
    build.save()


def _later(crew: _Crew, build: Build) -> None:
    build.notes = "Waits for panels: see the buying list."
    build.save()


def _under_way(crew: _Crew, build: Build) -> None:
    first, second = crew.builders[0], crew.builders[-1]
    crew.ticks(build, 6)
    steps = Progress(build, "metric").steps
    crew.does(
        build,
        first,
        "note",
        steps[2].step.key,
        text="The panels on the lower shelf are shorter: leave them.",
    )
    crew.does(
        build,
        second,
        "shortage",
        steps[4].step.key,
        what=steps[4].card["adds"][0]["what"] if steps[4].card["adds"] else TIE,
        count=2,
        is_damaged=True,
        note="bent in transport",
    )
    crew.clock = timezone.now() - timedelta(minutes=6)
    crew.does(build, second, "start", steps[6].step.key)
    crew.does(build, first, "start", steps[7].step.key)


def _to_mend(crew: _Crew, build: Build) -> None:
    crew.ticks(build, Progress(build, "metric").total - 1)
    crew.inspects(build, FAILED)
    build.repairs.get(code="tray").mend(crew.today, by=crew.builders[0], note="taped again")


def _inspected(crew: _Crew, build: Build) -> None:
    crew.ticks(build, Progress(build, "metric").total - 1)
    crew.inspects(build, {})


def _handed_over(crew: _Crew, build: Build) -> None:
    _inspected(crew, build)
    if build.home:
        hand_over_to_home(
            build,
            build.home,
            build.name,
            on=crew.today,
            by=crew.coordinator,
            idempotency_key=crew.idempotency_key(build.name, "handed over"),
        )


def _kit_under_way(crew: _Crew, build: Build) -> None:
    crew.ticks(build, 4)
    ticked_by_the_adopter(build, crew.coordinator, crew.today, crew.idempotency_key)


def _kit_being_packed(crew: _Crew, build: Build) -> None:
    _inspected(crew, build)
    packing(build, crew.builders[0], crew.idempotency_key)


def _kit_gone(crew: _Crew, build: Build) -> None:
    """Some days ago, so that somebody is to be asked how it goes."""
    before = replace(crew, today=crew.today - timedelta(days=DAYS_GONE))
    before.clock = crew.clock - timedelta(days=DAYS_GONE)
    _inspected(before, build)
    gone(build, crew.coordinator, before.today, crew.idempotency_key)


def _stopped(crew: _Crew, build: Build) -> None:
    crew.ticks(build, 2)
    build.set_state(
        BuildState.STOPPED,
        crew.today,
        by=crew.coordinator,
        note="The room is needed otherwise.",
        idempotency_key=crew.idempotency_key(build.name, "stopped"),
    )


class ToldBuild(NamedTuple):
    """``days`` from today; ``tell``: how it went. For a ``home``, or a kit for an ``adopter``."""

    name: str
    design: str
    days: int
    tell: Callable[[_Crew, Build], None]
    home: str = ""
    adopter: str = ""


BUILDS = (
    ToldBuild("Long wall for the back room", "Long wall with a loft", 0, _under_way, "Thaddeus"),
    ToldBuild("Bay window, Saturday crew", "Bay window", 10, _ahead, "Idris"),
    ToldBuild("Room for Hazel and Rowan", "Rabbit room", 17, _later, "Perpetua"),
    ToldBuild("Pair by the landing", "Quarantine pair", -1, _to_mend, "Sunniva"),
    ToldBuild("Kit for Ada", "Under the stairs", 1, _kit_being_packed, adopter="Ada"),
    ToldBuild("Kit for Juno", "Long wall with a loft", 4, _kit_under_way, adopter="Juno"),
    ToldBuild("Kit for Milo", "Under the stairs", -6, _kit_gone, adopter="Milo"),
    ToldBuild("Pillar room", "Round the pillar", -5, _handed_over, "The depot"),
    ToldBuild("Second bay window", "Bay window", 3, _stopped, "Zuleika"),
)
