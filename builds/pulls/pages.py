"""Values for the pages of pulls: their subject, their addresses, and the printed list."""

from dataclasses import dataclass
from functools import cached_property

from django.http import Http404
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _

from builds.batches.models.batches import Batch
from builds.plans.models.builds import Build
from builds.pulls.models.pull_sheet import PullSheet, sheet_of
from builds.pulls.models.pulls import Pull
from habitats.board.pages.parts import PULLS, TodayPart, TodayRow, first_and_number
from habitats.people.models.people import Person

BUILD, BATCH = "build", "batch"


@dataclass(frozen=True)  # without slots, so that what is worked out from it is kept at hand
class PullSubject:
    """A build or a batch whose material is pulled; ``of`` says which."""

    of: str
    name: str
    code: str
    builds: tuple[Build, ...]
    batch: Batch | None = None

    @cached_property
    def sheet(self) -> PullSheet:
        return sheet_of(self.builds)

    @property
    def page(self) -> str:
        return reverse(f"builds:pull_{self.of}", args=[self.code])

    @property
    def pdf(self) -> str:
        return reverse(f"builds:pull_{self.of}_pdf", args=[self.code])

    @property
    def back(self) -> str:
        return reverse(f"builds:{self.of}", args=[self.code])

    def act(self, name: str) -> str:
        return reverse(f"builds:pull_{self.of}_act", args=[self.code, name])

    @property
    def acts(self) -> dict[str, str]:
        names = ("begin", "take", "all", "keep", "short", "back", "close", "give-up")
        return {name.replace("-", "_"): self.act(name) for name in names}

    @cached_property
    def unplanned(self) -> int:
        """Builds of a batch that are wished for and not planned yet."""
        if self.batch is None:
            return 0
        lines = self.batch.lines.prefetch_related("builds")
        return sum(max(0, line.count - len(line.builds.all())) for line in lines)


def subject_of(person: Person, of: str, code: str) -> PullSubject:
    """Raises ``Http404`` for what is not there, or not for this person to see."""
    if of == BATCH:
        batch = get_object_or_404(Batch.objects.visible_to(person), code=code.upper())
        builds = Build.objects.with_state().filter(batch_lines__batch=batch).distinct()
        return PullSubject(of, batch.name, batch.code, tuple(builds.soonest_first()), batch)
    build = Build.objects.visible_to(person).with_state().filter(code=code.upper()).first()
    if build is None:
        raise Http404(_("There is no such build."))
    return PullSubject(of, str(build), build.code, (build,))


def pulls_today(sender: object, person: Person, **_more: object) -> list[TodayPart]:
    """For ``today_asked``: what builders still have to fetch from the store."""
    if not person.has_role(Person.Role.BUILDER):
        return []
    found = Pull.objects.visible_to(person).open().soonest_first()
    shown, total = first_and_number(found.select_related("build"))
    rows = [
        TodayRow(
            _("Material for %(build)s") % {"build": one.build},
            reverse("builds:pull_build", args=[one.build.code]),
            _("Fetch"),
        )
        for one in shown
    ]
    return [TodayPart(PULLS, _("Pulls to fetch"), rows, total, reverse("builds:pulls"))]
