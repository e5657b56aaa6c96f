"""Which group stays in which enclosure, and so who was where on any day."""

import uuid
from datetime import date

from django.db import models
from django.utils.translation import gettext as _

from habitats.animals.models.acts import Act, recording
from habitats.animals.models.groups import Group
from habitats.common.days import in_full
from habitats.common.happened import Elsewhere, Span, SpanQuerySet
from habitats.common.idempotency import made_before
from habitats.enclosures.models.enclosures import TAKES_A_GROUP, Enclosure, EnclosureState
from habitats.enclosures.models.standing import end_before
from habitats.faults.models.faults import unsafe_fault_of
from habitats.people.models.people import Person


class StayQuerySet(SpanQuerySet["Stay"]):
    pass


class Stay(Span):
    """A group in an enclosure."""

    group = models.ForeignKey(Group, on_delete=models.PROTECT, related_name="stays")
    enclosure = models.ForeignKey(Enclosure, on_delete=models.PROTECT, related_name="stays")

    objects = StayQuerySet.as_manager()

    class Meta(Span.Meta):
        indexes = [
            models.Index(fields=["group", "since"], name="stay_of_group"),
            models.Index(fields=["enclosure", "since"], name="stay_in_enclosure"),
        ]
        constraints = [
            *Span.Meta.constraints,
            models.UniqueConstraint(
                fields=["group"],
                condition=models.Q(until__isnull=True),
                name="group_stays_in_one_enclosure_now",
            ),
            models.UniqueConstraint(
                fields=["enclosure"],
                condition=models.Q(until__isnull=True),
                name="enclosure_holds_one_group_now",
            ),
        ]

    def __str__(self) -> str:
        return f"group {self.group_id} in enclosure {self.enclosure_id} since {self.since}"


def move_in(
    group: Group,
    enclosure: Enclosure,
    since: date,
    *,
    by: Person,
    idempotency_key: uuid.UUID | None = None,
) -> Stay:
    """The group stays in the enclosure from a day on, and no longer where it was.

    The enclosure it left is standing free again, and this one is in use. The same key again
    changes nothing. Raises ``Elsewhere`` with a sentence for an enclosure that is not ready, was
    not on that day, has an unsafe fault, or is taken, and for days on which the group was
    elsewhere or had nobody in it.
    """
    idempotency_key = idempotency_key or uuid.uuid4()
    with recording(Act.Kind.MOVE, since, by=by):
        Group.objects.select_for_update(no_key=True).get(pk=group.pk)
        Enclosure.objects.select_for_update(no_key=True).get(pk=enclosure.pk)
        known = made_before(Stay.objects, idempotency_key)
        if known:
            return known
        _refuse_what_is_not_ready(enclosure, since)
        _refuse_what_is_taken(enclosure, group, since)
        _refuse_before_anybody_came(group, since)
        leave(group, since, by=by)
        end_before(group.stays.all(), since, by, group)
        made = group.stays.create(
            enclosure=enclosure, since=since, made_by=by, idempotency_key=idempotency_key
        )
        if enclosure.state_now() != EnclosureState.IN_USE:
            enclosure.set_state(EnclosureState.IN_USE, on=since, by=by)
    return made


def leave(group: Group, until: date, *, by: Person) -> Stay | None:
    """The group leaves where it stays now; None if it stays nowhere.

    Raises ``Elsewhere`` for a day before it moved in.
    """
    with recording(Act.Kind.LEAVE, until, by=by):
        stay = group.stays.open().select_related("enclosure").first()
        if stay is None:
            return None
        if until < stay.since:
            raise Elsewhere(
                _("%(group)s moved into %(enclosure)s on %(day)s. Enter that day or a later one.")
                % {
                    "group": group.called(),
                    "enclosure": stay.enclosure,
                    "day": in_full(stay.since),
                }
            )
        stay.end(until, by)
        if stay.enclosure.state_now() == EnclosureState.IN_USE:
            stay.enclosure.set_state(EnclosureState.STANDING, on=until, by=by)
    return stay


def _refuse_what_is_not_ready(enclosure: Enclosure, since: date) -> None:
    state = EnclosureState(enclosure.state_now())
    if state not in TAKES_A_GROUP:
        raise Elsewhere(
            _("%(enclosure)s is marked “%(state)s”. Choose an enclosure that is standing.")
            % {"enclosure": enclosure, "state": state.label}
        )
    if fault := unsafe_fault_of(enclosure):
        raise Elsewhere(
            _(
                "%(enclosure)s is not safe: “%(fault)s”, seen on %(day)s. Repair it first, or "
                "choose another enclosure."
            )
            % {"enclosure": enclosure, "fault": fault, "day": in_full(fault.on)}
        )
    ready = enclosure.ready_since()
    if ready and since < ready:
        raise Elsewhere(
            _(
                "%(enclosure)s has been ready to move into since %(day)s. Enter that day or a "
                "later one."
            )
            % {"enclosure": enclosure, "day": in_full(ready)}
        )


def _refuse_before_anybody_came(group: Group, since: date) -> None:
    there = group.memberships.exclude(until=models.F("since"))
    first = there.order_by("since").first()
    if first and since < first.since:
        raise Elsewhere(
            _("%(group)s had no animals before %(day)s. Enter that day or a later one.")
            % {"group": group, "day": in_full(first.since)}
        )


def _refuse_what_is_taken(enclosure: Enclosure, group: Group, since: date) -> None:
    taken = (
        enclosure.stays.exclude(group=group)
        .exclude(until=models.F("since"))
        .filter(models.Q(until__isnull=True) | models.Q(until__gt=since))
        .select_related("group")
        .order_by("-since")
        .first()
    )
    if taken is None:
        return
    if taken.until is None:
        raise Elsewhere(
            _(
                "%(enclosure)s has been occupied by %(group)s since %(day)s. Move that group "
                "first, or choose another enclosure."
            )
            % {"enclosure": enclosure, "group": taken.group.called(), "day": in_full(taken.since)}
        )
    raise Elsewhere(
        _("%(enclosure)s was occupied until %(day)s. Enter that day or a later one.")
        % {"enclosure": enclosure, "day": in_full(taken.until)}
    )
