"""A slip is undone: all is as if it had not been, but for the history, which tells both.

Acts on the same animals, groups and enclosures are undone from the last one back, so that what
stands again is what stood before. Where something else was built on an act, it says what.
"""

import uuid
from collections.abc import Iterator, Sequence
from datetime import timedelta
from typing import Any, NamedTuple

from django.db import models, transaction
from django.dispatch import Signal
from django.utils.translation import gettext as _

from habitats.animals.models.acts import Act, ActPart, ActQuerySet, Undone
from habitats.animals.models.animals import Animal
from habitats.animals.models.joining import animal_back, animal_left
from habitats.common.days import in_full
from habitats.common.idempotency import made_before
from habitats.common.relations import rows_about
from habitats.enclosures.models.enclosures import EnclosureEvent, EnclosureState
from habitats.people.models.people import Person

# An intake weighs, sets apart and joins a group in one form: what follows so soon is part of it.
SAME_FORM = timedelta(minutes=1)
OF_OTHERS = ("act", "actpart", "undone")


class UndoHindrance(NamedTuple):
    """Why an act cannot be undone, and the page where that is mended: a name and its argument."""

    sentence: str
    page: str
    of: object


# Asked before an act is undone; gives ``act``. A receiver answers with an ``UndoHindrance``, or
# None.
undo_asked = Signal()
# Sent inside the transaction: the readmission ``act`` never was.
readmission_undone = Signal()


class CannotUndo(Exception):
    def __init__(self, hindrance: UndoHindrance) -> None:
        super().__init__(hindrance.sentence)
        self.hindrance = hindrance


def hindrance_to(act: Act) -> UndoHindrance | None:
    """What stands against undoing it now; None if nothing does."""
    return next(_hindrances(act), None)


def undo(act: Act, why: str, *, by: Person, idempotency_key: uuid.UUID) -> Undone:
    """The same key again changes nothing. Raises ``CannotUndo``."""
    with transaction.atomic():
        # As it is now: a merge may have given it to another record.
        act = Act.objects.select_for_update(no_key=True).get(pk=act.pk)
        known = made_before(Undone.objects, idempotency_key)
        if known:
            return known
        if hindrance := hindrance_to(act):
            raise CannotUndo(hindrance)
        for one in [*_of_the_same_form(act), act]:
            _take_back(one, by)
            key = idempotency_key if one.pk == act.pk else uuid.uuid5(idempotency_key, str(one.pk))
            undone = Undone.objects.create(act=one, why=why, made_by=by, idempotency_key=key)
    return undone


def _of_the_same_form(act: Act) -> Sequence[Act]:
    """What an intake did besides, the last first."""
    if act.kind != Act.Kind.INTAKE or act.animal is None:
        return ()
    later = Act.objects.standing().of_animals([act.animal]).filter(pk__gt=act.pk)
    soon = later.filter(made_by=act.made_by, made_at__lte=act.made_at + SAME_FORM)
    return list(soon.latest_first())


# --- What stands against it ---


def _hindrances(act: Act) -> Iterator[UndoHindrance]:
    if Undone.objects.filter(act=act).exists():
        yield UndoHindrance(_("This was undone already."), "undo", act.pk)
        return
    besides = _of_the_same_form(act)
    own = [one.pk for one in besides]
    for one in [*besides, act]:
        yield from _later_acts(one, own)
        yield from _changed_spans(one)
        yield from _taken_enclosures(one)
        yield from _closed_homes(one)
    if act.kind == Act.Kind.DEPARTURE:
        yield from _not_gone_so(act)
    if act.animal is not None:
        yield from _merged_since(act, act.animal)
        yield from _more_about(act, act.animal)
    for _receiver, answer in undo_asked.send(Act, act=act):
        if isinstance(answer, UndoHindrance):
            yield answer


def _later_acts(act: Act, own: Sequence[int]) -> Iterator[UndoHindrance]:
    later = _sharing(act).standing().filter(pk__gt=act.pk).exclude(pk__in=own)
    last = later.latest_first().first()
    if last is not None:
        words = _(
            "Something later builds on it: “%(kind)s” of %(day)s. Undo that first, if it is wrong "
            "too."
        )
        words %= {"kind": last.get_kind_display(), "day": in_full(last.on)}
        yield UndoHindrance(words, "undo", last.pk)


def _sharing(act: Act) -> ActQuerySet:
    """Acts on any of its animals, groups or enclosures; itself among them."""
    parts = list(act.parts.select_related("membership", "stay", "standing"))
    animals = {one.membership.animal_id for one in parts if one.membership}
    if act.animal_id:
        animals.add(act.animal_id)
    groups = {one.membership.group_id for one in parts if one.membership}
    groups |= {one.stay.group_id for one in parts if one.stay}
    enclosures = {one.stay.enclosure_id for one in parts if one.stay}
    enclosures |= {one.standing.enclosure_id for one in parts if one.standing}
    found = [
        ask(keys)
        for ask, keys in (
            (Act.objects.of_animals, animals),
            (Act.objects.of_groups, groups),
            (Act.objects.of_enclosures, enclosures),
        )
        if keys
    ]
    shared = models.Q(pk=act.pk)
    for acts in found:
        shared |= models.Q(pk__in=acts.values("pk"))
    return Act.objects.filter(shared)


def _changed_spans(act: Act) -> Iterator[UndoHindrance]:
    """Spans that are no longer as it left them, or that others took the place of: by an import, a
    merge of two records, or before acts were noted."""
    for part in act.parts.all():
        span = part.span
        if span is None:
            continue
        if part.has_begun != span.is_open or (not part.has_begun and _is_followed(part, act)):
            words = _("What it recorded has changed since. Record how it is now instead.")
            yield UndoHindrance(words, *_page_of(part))


def _is_followed(part: ActPart, act: Act) -> bool:
    """Whether the animal or the enclosure was elsewhere after the span that ended.

    Of a stay ``_taken_enclosures`` tells more.
    """
    spans: models.QuerySet[Any]
    if part.membership:
        name, spans = "membership", part.membership.animal.memberships.all()
    elif part.standing:
        name, spans = "standing", part.standing.enclosure.standings.all()
    else:
        return False
    own = act.parts.filter(**{f"{name}__isnull": False}).values(name)
    assert part.span is not None
    after = models.Q(until__isnull=True) | models.Q(until__gt=part.span.until)
    real = spans.exclude(pk__in=own).exclude(until=models.F("since"))
    return bool(real.filter(after).exists())


def _page_of(part: ActPart) -> tuple[str, str]:
    if part.membership:
        return "animal", part.membership.animal.code
    if part.stay:
        return "group", part.stay.group.code
    assert part.standing is not None
    return "enclosure", part.standing.enclosure.code


def _taken_enclosures(act: Act) -> Iterator[UndoHindrance]:
    for part in act.parts.filter(stay__isnull=False, has_begun=False):
        assert part.stay is not None
        enclosure = part.stay.enclosure
        own = act.parts.filter(stay__isnull=False).values("stay")
        others = enclosure.stays.exclude(pk__in=own).exclude(until=models.F("since"))
        then = models.Q(until__isnull=True) | models.Q(until__gt=part.stay.until)
        if taken := others.filter(then).select_related("group").first():
            words = _("%(enclosure)s is occupied by %(group)s now. Move that group first.")
            words %= {"enclosure": enclosure, "group": taken.group.called()}
            yield UndoHindrance(words, "group", taken.group.code)
    yield from _later_states(act)


def _closed_homes(act: Act) -> Iterator[UndoHindrance]:
    """An enclosure does not come back to a home that was closed since."""
    ended = act.parts.filter(standing__home__closed_on__isnull=False, has_begun=False)
    for part in ended.select_related("standing__home"):
        assert part.standing is not None
        home = part.standing.home
        yield UndoHindrance(
            _("%(home)s is closed. Reopen it first.") % {"home": home}, "home_page", home.code
        )


def _later_states(act: Act) -> Iterator[UndoHindrance]:
    for part in act.parts.filter(event__isnull=False).select_related("event__enclosure"):
        assert part.event is not None
        enclosure = part.event.enclosure
        own = act.parts.filter(event__enclosure=enclosure).values("event")
        later = enclosure.events.filter(pk__gt=part.event.pk).exclude(pk__in=own)
        unsaid = later.exclude(pk__in=_of_undone())
        if last := unsaid.order_by("-pk").first():
            words = _(
                "%(enclosure)s was marked “%(state)s” on %(day)s, after it. Record how it is now "
                "instead."
            )
            state = EnclosureState(last.state).label
            words %= {"enclosure": enclosure, "state": state, "day": in_full(last.on)}
            yield UndoHindrance(words, "enclosure", enclosure.code)


def _of_undone() -> "models.QuerySet[EnclosureEvent]":
    """States that an act set which is undone, and those that its undoing set again."""
    return EnclosureEvent.objects.filter(act_parts__act__undone__isnull=False)


def _not_gone_so(act: Act) -> Iterator[UndoHindrance]:
    animal = act.animal
    assert animal is not None
    if animal.left_on != act.on or animal.left_why != act.left_why:
        words = _("The departure of %(animal)s is no longer recorded so.") % {"animal": animal}
        yield UndoHindrance(words, "animal", animal.code)


def _merged_since(act: Act, animal: Animal) -> Iterator[UndoHindrance]:
    """An intake of one of two records is no longer that of the animal alone."""
    if act.kind == Act.Kind.INTAKE and animal.doubles.exists():
        words = _("What it recorded has changed since. Record how it is now instead.")
        yield UndoHindrance(words, "animal", animal.code)


def _more_about(act: Act, animal: Animal) -> Iterator[UndoHindrance]:
    """What was recorded of an animal after it came or left."""
    since = act.made_at + (SAME_FORM if act.kind == Act.Kind.INTAKE else timedelta())
    for rows in rows_about(animal):
        if rows.model._meta.model_name in OF_OTHERS or not _tells_when(rows.model):
            continue
        if rows.model._meta.model_name == "membership":
            rows = rows.exclude(pk__in=ActPart.undone_spans("membership"))
        if rows.filter(made_at__gt=since).exists():
            words = _(
                "More was recorded for %(animal)s after it. Look at its page: what is there has to "
                "be undone or corrected first."
            )
            yield UndoHindrance(words % {"animal": animal}, "animal", animal.code)


def _tells_when(model: type[models.Model]) -> bool:
    return any(one.name == "made_at" for one in model._meta.concrete_fields)


# --- As if it had not been ---


def _take_back(act: Act, by: Person) -> None:
    parts = list(act.parts.order_by("-pk"))
    for part in parts:
        if part.has_begun and part.span:
            part.span.end(part.span.since, by)
    for part in parts:
        if not part.has_begun and part.span:
            part.span.reopen()
    _set_states_back(act, parts, by)
    if act.kind == Act.Kind.DEPARTURE:
        _readmit(act)
    elif act.kind == Act.Kind.READMISSION:
        _send_away_again(act)
    elif act.kind == Act.Kind.INTAKE:
        _take_out(act)


def _set_states_back(act: Act, parts: Sequence[ActPart], by: Person) -> None:
    """Each enclosure as it was before the first state that the act set; told as part of the act."""
    firsts = {one.event.enclosure_id: one.event for one in parts if one.event}
    for event in firsts.values():
        before = EnclosureEvent.objects.filter(enclosure=event.enclosure, pk__lt=event.pk)
        last = before.exclude(pk__in=_of_undone()).order_by("-pk").first()
        state = last.state if last else EnclosureState.PLANNED
        again = event.enclosure.set_state(state, on=event.on, by=by)
        act.parts.create(event=again, has_begun=True)


def _readmit(act: Act) -> None:
    assert act.animal is not None
    act.animal.left_on, act.animal.left_why = None, ""
    act.animal.save(update_fields=["left_on", "left_why"])
    animal_back.send(Animal, animal=act.animal)


def _send_away_again(act: Act) -> None:
    assert act.animal is not None
    act.animal.left_on, act.animal.left_why = act.left_on, act.left_why
    act.animal.save(update_fields=["left_on", "left_why"])
    readmission_undone.send(Act, act=act)


def _take_out(act: Act) -> None:
    """An animal that never came: nothing of it is counted, and its numbers are free again."""
    animal = act.animal
    assert animal is not None
    animal.left_on, animal.left_why, animal.own_id = animal.came_on, Animal.Leaving.MISTAKE, ""
    animal.chip = ""
    animal.save(update_fields=["left_on", "left_why", "own_id", "chip"])
    animal_left.send(Animal, animal=animal, on=animal.came_on, why=animal.left_why)
