"""Acts of people on a build: ticks, notes, photos, shortages; also from a phone that was offline.

``at`` is when it was done: what the phone's clock said, less what that clock was wrong; ``made_at``
is when it reached us. What reached us and could not be taken is kept as a stray act, with the
reason.
"""

from datetime import datetime
from typing import Self

from django.db import models
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from builds.making.part_names import part_code, part_name
from builds.making.step_keys import KEY_LENGTH
from builds.plans.models.builds import Build
from habitats.common.happened import AppendOnly
from habitats.common.sentence_field import SentenceField
from habitats.people.models.people import Person


class BuildAct(AppendOnly):
    """Something done on a step, or on the build as a whole where ``step_key`` is empty."""

    build = models.ForeignKey(Build, on_delete=models.PROTECT, related_name="%(class)ss")
    step_key = models.CharField(max_length=KEY_LENGTH, blank=True)
    at = models.DateTimeField()

    class Meta:
        abstract = True

    def who_for(self, reader: object) -> str:
        """Who did it, in words; load ``made_by``."""
        return self.made_by.name_for(reader)


class TickQuerySet(models.QuerySet["Tick"]):
    def counting(self) -> Self:
        """Without those that reached us after a newer word that says otherwise, and without what an
        adopter did with a box that had gone: that is no work of the build.
        """
        return self.filter(overtaken__isnull=True, at_home=False)

    def through_links(self) -> Self:
        """What adopters did, with a newer word that says otherwise left out like above."""
        return self.filter(overtaken__isnull=True, link__isnull=False)

    def last_words(self) -> Self:
        """The last word on each step of each build."""
        counting = self.counting().values("build", "step_key")
        newest = counting.annotate(newest=models.Max("pk"))
        return self.filter(pk__in=newest.values("newest"))


class Tick(BuildAct):
    """A step is done, or is not after all. The last word counts; two who tick agree.

    ``link``: it came through this link of a kit, from somebody without an account; ``made_by`` is
    then who made the link and answers for it. None for a tick of one of ours. ``at_home``: the kit
    was handed over by then, so it is the adopter's own work with the box.
    """

    is_done = models.BooleanField(default=True)
    link = models.ForeignKey(
        "builds.KitLink", on_delete=models.PROTECT, null=True, editable=False, related_name="ticks"
    )
    at_home = models.BooleanField(default=False, editable=False)

    objects = TickQuerySet.as_manager()

    class Meta:
        indexes = [models.Index(fields=["build", "step_key", "-id"], name="tick_latest")]
        constraints = [
            models.CheckConstraint(name="a_tick_is_of_a_step", condition=~models.Q(step_key="")),
        ]

    def __str__(self) -> str:
        return f"step {self.step_key} {'done' if self.is_done else 'not done'}"

    def who_for(self, reader: object) -> str:
        return gettext("the adopter, through a link") if self.link_id else super().who_for(reader)


class OvertakenQuerySet(models.QuerySet["Overtaken"]):
    def unread_by(self, person: Person) -> Self:
        """What this person has not read yet: somebody's word that theirs has overtaken."""
        mine = self.filter(read_at__isnull=True, stands__made_by=person)
        return mine.select_related("made_by", "tick", "stands").order_by("pk")


class Overtaken(AppendOnly):
    """A tick reached us after a newer word on its step that says otherwise, so it does not count.

    ``stands`` is that word. Whoever sent the tick is told in the answer to it; whoever made
    ``stands`` reads it on the pages of the build, once: ``read_at`` is None until then.
    """

    tick = models.OneToOneField(Tick, on_delete=models.PROTECT, related_name="overtaken")
    stands = models.ForeignKey(Tick, on_delete=models.PROTECT, related_name="+")
    read_at = models.DateTimeField(null=True, editable=False)

    objects = OvertakenQuerySet.as_manager()

    def __str__(self) -> str:
        return f"{self.tick}, overtaken"

    def read(self, person: Person, now: datetime) -> None:
        """Only whoever made the word that stands has to read it; read once, it stays so."""
        unread = Overtaken.objects.filter(pk=self.pk, read_at__isnull=True, stands__made_by=person)
        unread.update(read_at=now)


class Start(BuildAct):
    """Somebody is on this step, until their next act; others see it and take another one."""

    class Meta:
        constraints = [
            models.CheckConstraint(name="a_start_is_of_a_step", condition=~models.Q(step_key="")),
        ]

    def __str__(self) -> str:
        return f"step {self.step_key} begun"


class BuildNote(BuildAct):
    text = models.CharField(max_length=1000)

    class Meta:
        constraints = [
            models.CheckConstraint(name="build_note_says_something", condition=~models.Q(text=""))
        ]

    def __str__(self) -> str:
        return f"note on build {self.build_id}"


class BuildPhoto(BuildAct):
    """Made anew from what was sent, so that it tells nothing of place and person."""

    image = models.ImageField(upload_to="builds/")
    note = models.CharField(max_length=300, blank=True)

    def __str__(self) -> str:
        return f"photo of build {self.build_id}"


class Shortage(BuildAct):
    """A part was missing or turned out to be damaged: ``what`` is its code on the part list.

    What no plan names is kept as it was sent.
    """

    class Kind(models.TextChoices):
        MISSING = "missing", _("Missing")
        DAMAGED = "damaged", _("Damaged")

    kind = models.CharField(max_length=10, choices=Kind)
    what = models.CharField(max_length=120)
    count = models.PositiveIntegerField()
    note = models.CharField(max_length=300, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(name="shortage_counts", condition=models.Q(count__gt=0)),
            models.CheckConstraint(
                name="shortage_kind_is_known",
                condition=models.Q(kind__in=["missing", "damaged"]),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.count} × {self.name} {self.kind}"

    @property
    def name(self) -> str:
        return part_name(self.what)


ACTS: tuple[type[BuildAct], ...] = (Tick, Start, BuildNote, BuildPhoto, Shortage)


class StrayAct(AppendOnly):
    """Reached us and could not be taken: ``payload`` as it was sent, and ``why`` in a sentence.

    ``image``: the picture that came with it, made anew like any other.
    """

    build = models.ForeignKey(Build, on_delete=models.PROTECT, related_name="strays")
    payload = models.JSONField()
    image = models.ImageField(upload_to="builds/strays/", blank=True)
    why = SentenceField()

    def __str__(self) -> str:
        return f"stray act on build {self.build_id}"

    @property
    def part(self) -> str:
        """What people call the part that it names; empty where it names none."""
        return part_name(part_code(str(self.payload.get("what", ""))))
