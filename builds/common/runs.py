"""One go at long work that is done beside the pages: whether it goes on, and how it ended."""

from datetime import datetime, timedelta
from typing import Any, Self, TypeVar

from django.db import models
from django.utils.translation import gettext_lazy as _

from habitats.common.shared_clock import shared_now

# A run that has said nothing for so long has lost its server; it says something every second.
SILENT = timedelta(seconds=15)
BEAT_SECONDS = 1.0
# The condition of a constraint: each table gives it a name of its own.
ENDS_SOMEHOW = models.Q(ended_at__isnull=True, how="") | models.Q(
    ended_at__isnull=False, how__in=["finished", "stopped", "lost", "failed"]
)


One = TypeVar("One", bound="Run")


class RunQuerySet(models.QuerySet[One]):
    def going_on(self) -> Self:
        return self.filter(ended_at__isnull=True)


class Run(models.Model):
    """While it goes on it says so every second; once it has ended it is never changed.

    One that is queued waits for a worker, which may be a while, and says nothing. Moments are by
    the clock that all servers share. What is said of a later one is of a clock that was set back.
    """

    class How(models.TextChoices):
        FINISHED = "finished", _("Finished")
        STOPPED = "stopped", _("Stopped")
        LOST = "lost", _("Stopped when the server was restarted")
        FAILED = "failed", _("Failed")

    is_queued = models.BooleanField(default=False)
    started_at = models.DateTimeField()
    beat_at = models.DateTimeField()
    stop_asked_at = models.DateTimeField(null=True)
    ended_at = models.DateTimeField(null=True)
    how = models.CharField(max_length=10, choices=How, blank=True)

    class Meta:
        abstract = True

    @classmethod
    def _going_on(cls) -> "models.QuerySet[Any]":
        return cls._default_manager.filter(ended_at__isnull=True)

    def is_live(self, at: datetime) -> bool:
        return self.ended_at is None and (self.is_queued or abs(at - self.beat_at) <= SILENT)

    def how_now(self, at: datetime) -> str:
        """How it ended; lost if its server is gone, though nobody has written that down yet."""
        return self.how or ("" if self.is_live(at) else self.How.LOST)

    @property
    def is_stopping(self) -> bool:
        return self.stop_asked_at is not None

    @classmethod
    def end_silent(cls, at: datetime) -> int:
        """End the runs whose server is gone; what they had found stays."""
        heard = (at - SILENT, at + SILENT)
        silent = cls._going_on().filter(is_queued=False).exclude(beat_at__range=heard)
        return silent.update(ended_at=at, how=cls.How.LOST)

    def take_up(self) -> bool:
        """Its turn has come; False if it ended before."""
        now = shared_now()
        queued = self._going_on().filter(pk=self.pk, is_queued=True)
        return bool(queued.update(is_queued=False, started_at=now, beat_at=now))

    def ask_to_stop(self, at: datetime | None = None) -> None:
        """One that is queued ends at once: nobody is at it who could end it."""
        now = at or shared_now()
        going_on = self._going_on().filter(pk=self.pk, stop_asked_at__isnull=True)
        queued = going_on.filter(is_queued=True)
        if not queued.update(stop_asked_at=now, ended_at=now, how=self.How.STOPPED):
            going_on.update(stop_asked_at=now)

    def say_alive(self, **kept: Any) -> bool:
        """Say that it goes on, and keep what it has. Whether it should go on."""
        alive = self._going_on().filter(pk=self.pk).update(beat_at=shared_now(), **kept)
        asked = type(self)._default_manager.filter(pk=self.pk, stop_asked_at__isnull=False)
        return bool(alive) and not asked.exists()

    def end_as(self, how: str, **kept: Any) -> bool:
        """It ends, and keeps what it has; False if it had ended already."""
        ended = {"ended_at": shared_now(), "how": how} | kept
        return bool(self._going_on().filter(pk=self.pk).update(**ended))
