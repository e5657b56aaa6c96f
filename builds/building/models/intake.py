"""The one way in for acts on a build: from a page, or from a phone that was offline.

Each act is taken once, by its UUID, in the order in which it comes. Nothing is lost: what cannot
be taken is kept beside the build as a stray act, with the reason. ``acts.py`` says what an act is.
"""

import uuid
from collections.abc import Mapping
from datetime import datetime
from typing import Any, NamedTuple

from django.core.files.base import ContentFile
from django.db import transaction
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext

from builds.building.models.acts import (
    ActContent,
    BadAct,
    as_sent,
    clock_fault,
    done_at,
    idempotency_key_of,
    name_for,
    read,
)
from builds.building.models.intake_questions import (
    BuildSeen,
    StepSeen,
    is_begun,
    lock,
    newer_word_than,
    row_of_key,
    seen_of,
)
from builds.building.models.shortages import shortage_moves
from builds.making.assembly import INSPECT
from builds.making.part_names import part_name
from builds.plans.models.build_acts import (
    ACTS,
    BuildAct,
    BuildPhoto,
    Overtaken,
    Shortage,
    StrayAct,
    Tick,
)
from builds.plans.models.builds import Build, BuildState
from builds.plans.models.learning import relearn
from habitats.common.happened import AppendOnly
from habitats.people.models.people import Person
from habitats.wording import joined, message

TAKEN, KNOWN, STRAY = "taken", "known", "stray"
NOT_YET_BEGUN = (BuildState.PLANNED, BuildState.PULLED)
ENDED = (BuildState.STOPPED, BuildState.HANDED_OVER)
REMOVED = message(
    "This step was removed from the plan in the meantime; what you did is shown with the build."
)


class ActAnswer(NamedTuple):
    """What became of an act; ``outcome`` is taken, known (it reached us before) or stray.

    ``is_odd``: its sentence says something that whoever sent it has to know.
    """

    once: uuid.UUID
    outcome: str
    sentence: str
    is_odd: bool = False


def take(
    person: Person,
    build: Build,
    act: Mapping[str, Any],
    now: datetime,
    *,
    link: AppendOnly | None = None,
) -> ActAnswer:
    """Keep what somebody did. The same key again changes nothing.

    ``link``: they came through this link of a kit, made by ``person``, and may only tick.
    """
    try:
        idempotency_key, told, fault = idempotency_key_of(act), read(act), ""
    except BadAct as bad:
        idempotency_key, told, fault = idempotency_key_or_name(act), None, bad.sentence
    is_timed = False
    with transaction.atomic():
        lock(build)
        before = row_of_key(idempotency_key)
        seen = seen_of(build, told.step if told else "")
        step = seen.step
        if told and step:
            told = told._replace(step=step.key)  # a phone may know it by a former one
        if before and not _is_same(before, person, build, act, told):
            idempotency_key = name_for(act, idempotency_key)
            fault = message("Something else was sent before under the same number.")
            before = row_of_key(idempotency_key)
        if isinstance(before, StrayAct):
            return ActAnswer(idempotency_key, STRAY, _with_the_build(before.why), is_odd=True)
        if before:
            return _known(told, step, before, clock_fault(act, now))
        if told is None or fault:
            return _stray(person, build, act, idempotency_key, fault, told)
        if why := _why_not(person, build, told, seen, link):
            return _stray(person, build, act, idempotency_key, why, told)
        if told.kind in ("start", "tick") and seen.state in NOT_YET_BEGUN:
            _begin(build, person, idempotency_key, now)
        at_home = link is not None and seen.state == BuildState.HANDED_OVER
        through = {"link": link, "at_home": at_home} if told.row is Tick else {}
        row = _keep(
            told,
            idempotency_key=idempotency_key,
            build=build,
            made_by=person,
            at=done_at(act, now),
            made_at=now,
            **through,
        )
        late = ""
        if isinstance(row, Tick):
            late = _late_sentence(row) if _overtake(row) else ""
            # Where a step that was begun is done, it says how long it took.
            is_timed = not late and row.is_done and is_begun(build, row.step_key)
    if is_timed:  # out of the build's lock: nobody waits for what the next plan is told by
        relearn()
    return _taken(told, step, idempotency_key, late, clock_fault(act, now))


def may_send(person: Person, build: Build) -> bool:
    """Whether acts of this person are kept: of who may build, and of who was on this build."""
    if person.has_role(Person.Role.COORDINATOR, Person.Role.BUILDER):
        return True
    was_named = build.people.filter(pk=person.pk).exists()
    return was_named or any(
        kind._default_manager.filter(build=build, made_by=person).exists() for kind in ACTS
    )


# --- Whether it reached us before ---


def idempotency_key_or_name(act: Mapping[str, Any]) -> uuid.UUID:
    try:
        return idempotency_key_of(act)
    except BadAct:
        return name_for(act)


def _is_same(
    row: AppendOnly, person: Person, build: Build, act: Mapping[str, Any], told: ActContent | None
) -> bool:
    """Whether the row is what came of this very act."""
    if isinstance(row, StrayAct):
        return bool(_without_sent(row.payload) == _without_sent(as_sent(act)))
    if told is None or not isinstance(row, told.row):
        return False
    said = {name: value for name, value in told.values.items() if name != "image"}
    said |= {"step_key": told.step, "build_id": build.pk, "made_by_id": person.pk}
    return all(getattr(row, name) == value for name, value in said.items())


def _without_sent(payload: Mapping[str, Any]) -> dict[str, Any]:
    """``sent`` and ``ahead``, its clock as measured then, differ when a phone tries again."""
    return {name: value for name, value in payload.items() if name not in ("sent", "ahead")}


def _known(
    told: ActContent | None, step: StepSeen | None, row: AppendOnly, clock: str
) -> ActAnswer:
    """What has to be known is told again: the first answer may have been lost on its way."""
    assert told is not None, "no more than a stray act says nothing that can be read"
    late = _late_sentence(row) if isinstance(row, Tick) else ""
    answer = _taken(told, step, row.idempotency_key, late, clock)
    sentence = answer.sentence if answer.is_odd else message("This is saved already.")
    return ActAnswer(row.idempotency_key, KNOWN, sentence, answer.is_odd)


# --- What cannot be taken ---


def _why_not(
    person: Person, build: Build, told: ActContent, seen: BuildSeen, link: AppendOnly | None
) -> str:
    """Why it cannot be taken, in a sentence; empty if it can.

    The role comes first: who lost it is told nothing of the build. A link is the rescue's, and
    outlasts the role of who made it.
    """
    if link and told.row is not Tick:
        return message("Through the link of a kit you can only tick steps.")
    if link is None and not person.has_role(Person.Role.COORDINATOR, Person.Role.BUILDER):
        return message(
            "%(person)s is no longer a builder. A coordinator will look at this.",
            person=str(person),
        )
    step, state = seen
    at_home = link is not None and state == BuildState.HANDED_OVER
    if state == BuildState.STOPPED:
        return message(
            "“%(build)s” is stopped, so you can add nothing more to it.", build=str(build)
        )
    if state == BuildState.HANDED_OVER and not at_home:
        return message(
            "“%(build)s” is handed over, so you can add nothing more to it.", build=str(build)
        )
    if told.step and step is None:
        return message("This step is in no plan of the build.")
    if step and step.card_id == INSPECT and told.row is Tick and not at_home:
        return message("To tick the inspection, sign it on its own page.")
    return ""


def _stray(
    person: Person,
    build: Build,
    act: Mapping[str, Any],
    idempotency_key: uuid.UUID,
    why: str,
    told: ActContent | None,
) -> ActAnswer:
    row = StrayAct(
        build=build,
        payload=as_sent(act),
        why=why,
        idempotency_key=idempotency_key,
        made_by=person,
    )  # a part of a sentence is English, so that the row does not hang on who reads
    if told and "image" in told.values:
        row.image.save(f"{idempotency_key}.jpg", ContentFile(told.values["image"]), save=False)
    row.save()
    return ActAnswer(idempotency_key, STRAY, _with_the_build(why), is_odd=True)


def _with_the_build(why: str) -> str:
    return joined(" ", [why, message("It is saved with the build.")])


# --- What is taken ---


def _begin(build: Build, person: Person, idempotency_key: uuid.UUID, now: datetime) -> None:
    """Whoever begins or ticks a step of a build has begun the build."""
    on = timezone.localtime(now).date()
    key = uuid.uuid5(idempotency_key, "building")
    build.set_state(BuildState.BUILDING, on, by=person, idempotency_key=key)


def _keep(told: ActContent, **facts: Any) -> BuildAct:
    values = {**told.values, "step_key": told.step, **facts}
    image = values.pop("image", None)
    row = told.row(**values)
    if isinstance(row, BuildPhoto):
        row.image.save(f"{facts['idempotency_key']}.jpg", ContentFile(image), save=False)
    row.save()
    if isinstance(row, Shortage):
        shortage_moves(row)
    return row


def _overtake(tick: Tick) -> bool:
    """Kept, but not counted, where a newer word says otherwise: whether one does."""
    newer = newer_word_than(tick)
    if newer is not None:
        Overtaken.objects.create(
            tick=tick,
            stands=newer,
            made_by_id=tick.made_by_id,
            idempotency_key=uuid.uuid5(tick.idempotency_key, "overtaken"),
        )
    return newer is not None


def _late_sentence(tick: Tick) -> str:
    """Whose newer word stands; empty where the tick counts."""
    found = Overtaken.objects.filter(tick=tick).select_related("stands__made_by").first()
    if found is None:
        return ""
    later = {"at": moment(found.stands.at), "who": str(found.stands.who_for(tick.made_by))}
    if found.stands.is_done:
        return message(
            "It does not count: %(who)s marked it done later, on %(at)s. Check it together.",
            **later,
        )
    return message(
        "It does not count: %(who)s marked it not done later, on %(at)s. Check it together.",
        **later,
    )


def moment(at: datetime) -> str:
    """When something happened, as people on a build read it."""
    return date_format(timezone.localtime(at), gettext("j M H:i"))


def _taken(
    told: ActContent, step: StepSeen | None, idempotency_key: uuid.UUID, late: str, clock: str
) -> ActAnswer:
    gone = REMOVED if step and step.plan != step.newest else ""
    remarks = [one for one in (gone, late, clock) if one]
    said = _sentence(told, step, is_late=bool(late))
    return ActAnswer(idempotency_key, TAKEN, joined(" ", [said, *remarks]), bool(remarks))


def _sentence(told: ActContent, step: StepSeen | None, *, is_late: bool = False) -> str:
    number = step.number if step else 0
    if is_late and told.kind == "tick":
        return message("Step %(number)d: your “done” came late.", number=number)
    if is_late:
        return message("Step %(number)d: your “not done” came late.", number=number)
    match told.kind:
        case "tick":
            return message("Step %(number)d is done.", number=number)
        case "untick":
            return message("Step %(number)d is not done.", number=number)
        case "start":
            return message("You started step %(number)d. The others can see it.", number=number)
        case "note":
            return message("Note saved.")
        case "photo":
            return message("Photo saved, without place, time and camera.")
    short = {"count": told.values["count"], "part": part_name(told.values["what"])}
    if told.values["kind"] == Shortage.Kind.DAMAGED:
        return message("Reported as damaged: %(count)d × %(part)s.", **short)
    return message("Reported as missing: %(count)d × %(part)s.", **short)
