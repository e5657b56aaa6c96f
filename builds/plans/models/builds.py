"""Builds: the job of making one design, or of altering an enclosure into one."""

import uuid
from datetime import date
from typing import Self

from django.db import models, transaction
from django.dispatch import Signal
from django.utils import timezone
from django.utils.translation import gettext, pgettext_lazy
from django.utils.translation import gettext_lazy as _

from builds.common.build_names import build_name
from habitats.common.codes import CODE_LENGTH
from habitats.common.happened import AppendOnly
from habitats.common.idempotency import Idempotent, made_before
from habitats.common.sentence_field import SentenceField
from habitats.common.written import given, written
from habitats.enclosures.models.enclosures import Enclosure
from habitats.homes.models.homes import Home
from habitats.people.models.people import Person, WorkshopQuerySet

LONGEST_NAME = 80


class BuildState(models.TextChoices):
    PLANNED = "planned", _("Planned")
    PULLED = "pulled", _("Pulled")
    BUILDING = "building", _("Building")
    INSPECTED = "inspected", _("Inspected")
    HANDED_OVER = "handed over", _("Handed over")
    STOPPED = "stopped", _("Stopped")

    @property
    def in_a_sentence(self) -> str:
        """As in “the build is …”."""
        return str(_IN_A_SENTENCE[self])


_IN_A_SENTENCE = {
    BuildState.PLANNED: pgettext_lazy("in a sentence", "planned"),
    BuildState.PULLED: pgettext_lazy("in a sentence", "pulled"),
    BuildState.BUILDING: pgettext_lazy("in a sentence", "building"),
    BuildState.INSPECTED: pgettext_lazy("in a sentence", "inspected"),
    BuildState.HANDED_OVER: pgettext_lazy("in a sentence", "handed over"),
    BuildState.STOPPED: pgettext_lazy("in a sentence", "stopped"),
}


# What may be said of a build next. A stopped one may be taken up again; what was built stays.
FOLLOWS: dict[str, tuple[str, ...]] = {
    BuildState.PLANNED: (BuildState.PULLED, BuildState.BUILDING, BuildState.STOPPED),
    BuildState.PULLED: (BuildState.BUILDING, BuildState.PLANNED, BuildState.STOPPED),
    BuildState.BUILDING: (BuildState.INSPECTED, BuildState.STOPPED),
    BuildState.INSPECTED: (BuildState.HANDED_OVER, BuildState.BUILDING, BuildState.STOPPED),
    BuildState.HANDED_OVER: (),
    BuildState.STOPPED: (BuildState.PLANNED, BuildState.BUILDING),
}
# A kit may leave as a box of cut pieces, to be put up and inspected at home.
KIT_FOLLOWS = FOLLOWS | {
    BuildState.BUILDING: (*FOLLOWS[BuildState.BUILDING], BuildState.HANDED_OVER)
}
# Those that may still take something from the store.
NEEDING = (BuildState.PLANNED, BuildState.PULLED, BuildState.BUILDING)
OPEN = (BuildState.PLANNED, BuildState.PULLED, BuildState.BUILDING, BuildState.INSPECTED)

# Sent when a build enters a state, inside the transaction that appends it: what goes wrong in a
# receiver undoes both. Gives ``build``, ``state``, ``by`` and the key of the act.
build_state_set = Signal()


class CannotBuild(Exception):
    """This cannot be done with the build as it stands, so nothing was changed."""


class BuildQuerySet(WorkshopQuerySet["Build"]):
    """Adopters, who have no account, come by a kit's link."""

    def with_state(self) -> Self:
        """Adds ``state``: what was last said of it."""
        last = BuildEvent.objects.filter(build=models.OuterRef("pk")).order_by("-pk")
        return self.annotate(state=models.Subquery(last.values("state")[:1]))

    def live(self) -> Self:
        """Those that are neither handed over nor stopped."""
        return self.with_state().filter(state__in=OPEN)

    def in_state(self, *states: str) -> Self:
        return self.with_state().filter(state__in=states)

    def named_like(self, words: str) -> Self:
        return self.filter(models.Q(name__icontains=words) | models.Q(code=words.upper()))

    def soonest_first(self) -> Self:
        return self.order_by(models.F("planned_on").asc(nulls_last=True), "pk")


class Build(Idempotent):
    """One enclosure to be made. It is for a home of ours, or it is a kit for an adopter.

    ``enclosure``: what is made or altered; None for a kit, which leaves the rescue, and until
    there is one. ``adopter``: the name an adopter goes by, empty for a build for a home.
    ``is_named_as_repair``: nobody named it, so ``name`` is that of the enclosure that it repairs.
    """

    code = models.CharField(max_length=CODE_LENGTH, unique=True, editable=False)
    name = models.CharField(max_length=LONGEST_NAME)
    is_named_as_repair = models.BooleanField(default=False, editable=False)
    home = models.ForeignKey(
        Home, on_delete=models.PROTECT, null=True, blank=True, related_name="builds"
    )
    adopter = models.CharField(max_length=60, blank=True)
    enclosure = models.ForeignKey(
        Enclosure, on_delete=models.PROTECT, null=True, blank=True, related_name="builds"
    )
    people = models.ManyToManyField(Person, blank=True, related_name="builds")
    planned_on = models.DateField(null=True, blank=True)
    notes = models.TextField(max_length=2000, blank=True)
    made_by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+", editable=False)
    made_at = models.DateTimeField(default=timezone.now, editable=False)

    objects = BuildQuerySet.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(name="build_has_a_name", condition=~models.Q(name="")),
            models.CheckConstraint(
                name="build_is_for_a_home_or_an_adopter",
                condition=models.Q(home__isnull=True) | models.Q(adopter=""),
            ),
        ]

    def __str__(self) -> str:
        return build_name(self.name, self.is_named_as_repair)

    @property
    def is_kit(self) -> bool:
        return bool(self.adopter)

    def may_follow(self, state: str) -> tuple[str, ...]:
        """The states that may be said of it next."""
        return (KIT_FOLLOWS if self.is_kit else FOLLOWS)[BuildState(state)]

    def state_now(self) -> str:
        """What was last said of it; for many builds use ``with_state()``."""
        return next(iter(_LAST_STATE(build=self)), BuildState.PLANNED)

    def set_state(
        self,
        state: str,
        on: date,
        *,
        by: Person,
        note: str = "",
        idempotency_key: uuid.UUID | None = None,
    ) -> "BuildEvent":
        """Append what state it is in. The same key again changes nothing.

        Raises ``CannotBuild`` for a state that cannot follow on the present one.
        """
        idempotency_key = idempotency_key or uuid.uuid4()
        with transaction.atomic():
            Build.objects.select_for_update(of=("self",), no_key=True).get(pk=self.pk)
            known = made_before(BuildEvent.objects, idempotency_key)
            if known:
                return known
            before = self.state_now()
            if state not in self.may_follow(before):
                raise CannotBuild(_cannot_follow(self, before, state))
            event = self.events.create(
                state=state, on=on, note=note, made_by=by, idempotency_key=idempotency_key
            )
            build_state_set.send(
                sender=Build, build=self, state=state, by=by, idempotency_key=idempotency_key
            )
        return event


class BuildEvent(AppendOnly):
    """From this day on the build is in this state."""

    build = models.ForeignKey(Build, on_delete=models.PROTECT, related_name="events")
    state = models.CharField(max_length=12, choices=BuildState)
    on = models.DateField()
    note = SentenceField(blank=True)

    class Meta:
        indexes = [models.Index(fields=["build", "-id"], name="build_event_latest")]
        constraints = [
            models.CheckConstraint(
                name="build_state_is_known",
                condition=models.Q(state__in=[one.value for one in BuildState]),
            ),
        ]

    def __str__(self) -> str:
        return f"build {self.build_id} {self.state}"


_LAST_STATE = written(
    lambda: (
        BuildEvent.objects.filter(build=given("build", Build))
        .order_by("-pk")
        .values_list("state", flat=True)[:1]
    )
)


def refuse_while_at_work(enclosure: Enclosure) -> None:
    """Raise ``CannotBuild`` while a build is at work on what stands."""
    other = Build.objects.live().filter(enclosure=enclosure).first()
    if other is not None:
        raise CannotBuild(
            gettext(
                "“%(build)s” (%(code)s) is in progress for %(enclosure)s already. "
                "Finish or stop that build, then try again."
            )
            % {"build": other, "code": other.code, "enclosure": enclosure}
        )


def _cannot_follow(build: Build, before: str, state: str) -> str:
    words = {
        "build": build,
        "now": BuildState(before).in_a_sentence,
        "wanted": BuildState(state).in_a_sentence,
        "allowed": gettext(" or ").join(
            BuildState(one).in_a_sentence for one in build.may_follow(before)
        ),
    }
    if words["allowed"]:
        sentence = gettext(
            "“%(build)s” is %(now)s, so it cannot be %(wanted)s next. It can be %(allowed)s."
        )
    else:
        sentence = gettext(
            "“%(build)s” is %(now)s, so it cannot be %(wanted)s next. Plan a new build."
        )
    return sentence % words
