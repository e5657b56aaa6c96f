"""The one way in for what people do on a build: from a page, or from a phone without signal.

An act is ``{"once", "kind", "step", "at"}`` and what its kind asks for: a note its ``text``;
a photo ``image``, bytes that were made anew already, and ``note``; a shortage ``what``, ``count``,
``is_damaged`` and ``note``. Nothing is lost: what cannot be taken is kept as a stray act.
"""

import uuid
from collections.abc import Callable, Mapping
from datetime import datetime
from typing import Any, NamedTuple

from django.core.files.base import ContentFile
from django.db import transaction
from django.utils import timezone

from builds.models.build_acts import (
    BuildAct,
    BuildNote,
    BuildPhoto,
    Shortage,
    Start,
    StrayAct,
    Tick,
)
from builds.models.build_plans import BuildStep
from builds.models.builds import Build, BuildState
from builds.models.shortages import shortage_moves
from habitats.models import Person
from habitats.models.happened import Happened

TAKEN, KNOWN, STRAY = "taken", "known", "stray"
ACTS: tuple[type[BuildAct], ...] = (Tick, Start, BuildNote, BuildPhoto, Shortage)
NOT_YET_BEGUN = (BuildState.PLANNED, BuildState.PULLED)
LONGEST_WHY = 300


class Answer(NamedTuple):
    """What became of an act; ``outcome`` is taken, known (it reached us before) or stray."""

    once: uuid.UUID
    outcome: str
    sentence: str


def take(person: Person, build: Build, act: Mapping[str, Any], now: datetime) -> Answer:
    """Keep what somebody did. The same ``once`` again changes nothing."""
    once = uuid.UUID(str(act["once"]))
    with transaction.atomic():
        Build.objects.select_for_update(of=("self",)).get(pk=build.pk)
        if _is_known(once):
            return Answer(once, KNOWN, "This is written down already.")
        if why := _why_not(person, build, act):
            return _stray(person, build, act, once, why)
        _begin(build, act, person, now)
        facts = {"build": build, "step_key": act.get("step", ""), "at": act.get("at") or now}
        made = _KEEP[act["kind"]](act, {**facts, "once": once, "made_by": person})
    return Answer(once, TAKEN, made)


def _is_known(once: uuid.UUID) -> bool:
    kinds: tuple[type[Happened], ...] = (*ACTS, StrayAct)
    return any(kind._default_manager.filter(once=once).exists() for kind in kinds)


def _why_not(person: Person, build: Build, act: Mapping[str, Any]) -> str:
    """Why it cannot be taken, in a sentence; empty if it can."""
    if person.role not in (Person.Role.COORDINATOR, Person.Role.BUILDER):
        return f"{person} is no builder any more. A coordinator looks at this."
    state = build.state_now()
    if state in (BuildState.STOPPED, BuildState.HANDED_OVER):
        return f"“{build}” is {BuildState(state).label.lower()}, so nothing more is done on it."
    key = act.get("step", "")
    if key and not BuildStep.objects.filter(plan__build=build, key=key).exists():
        return "This step is in no plan of the build."
    return ""


def _stray(
    person: Person, build: Build, act: Mapping[str, Any], once: uuid.UUID, why: str
) -> Answer:
    payload = {
        name: f"{len(value)} bytes" if isinstance(value, bytes) else str(value)
        for name, value in act.items()
    }
    StrayAct.objects.create(
        build=build, payload=payload, why=why[:LONGEST_WHY], once=once, made_by=person
    )
    return Answer(once, STRAY, f"{why} It is kept beside the build.")


def _begin(build: Build, act: Mapping[str, Any], person: Person, now: datetime) -> None:
    """Whoever begins or ticks a step of a build has begun the build."""
    if act["kind"] in ("start", "tick") and build.state_now() in NOT_YET_BEGUN:
        once = uuid.uuid5(uuid.UUID(str(act["once"])), "building")
        build.say(BuildState.BUILDING, timezone.localtime(now).date(), by=person, once=once)


def _tick(act: Mapping[str, Any], facts: dict[str, Any]) -> str:
    Tick.objects.create(is_done=True, **facts)
    return f"{_name(facts)} is ticked."


def _untick(act: Mapping[str, Any], facts: dict[str, Any]) -> str:
    Tick.objects.create(is_done=False, **facts)
    return f"{_name(facts)} is open again."


def _start(act: Mapping[str, Any], facts: dict[str, Any]) -> str:
    Start.objects.create(**facts)
    return f"You are on {_name(facts).lower()}: the others see it."


def _note(act: Mapping[str, Any], facts: dict[str, Any]) -> str:
    BuildNote.objects.create(text=act["text"], **facts)
    return "Your note is kept."


def _photo(act: Mapping[str, Any], facts: dict[str, Any]) -> str:
    photo = BuildPhoto(note=act.get("note", ""), **facts)
    photo.image.save(f"{facts['once']}.jpg", ContentFile(act["image"]), save=False)
    photo.save()
    return "The photo is kept, without place, time and camera."


def _shortage(act: Mapping[str, Any], facts: dict[str, Any]) -> str:
    kind = Shortage.Kind.DAMAGED if act["is_damaged"] else Shortage.Kind.MISSING
    count, what = act["count"], act["what"]
    made = Shortage.objects.create(
        kind=kind, what=what, count=count, note=act.get("note", ""), **facts
    )
    shortage_moves(made)
    return f"Written down: {count} × {what} {kind.label.lower()}."


def _name(facts: Mapping[str, Any]) -> str:
    """The step by its number in the newest plan that has it."""
    steps = BuildStep.objects.filter(plan__build=facts["build"], key=facts["step_key"])
    number = steps.order_by("-plan__number").values_list("number", flat=True).first()
    return f"Step {number}"


_KEEP: dict[str, Callable[[Mapping[str, Any], dict[str, Any]], str]] = {
    "tick": _tick,
    "untick": _untick,
    "start": _start,
    "note": _note,
    "photo": _photo,
    "shortage": _shortage,
}
