"""Inspecting a build: refused until all steps and repairs are done; only a passed build goes on."""

import uuid
from collections.abc import Sequence
from datetime import date, datetime

from django.db import transaction
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from builds.building.models.inspections import Answered, Inspection, Repair
from builds.plans.models.builds import Build, BuildState, CannotBuild
from builds.plans.models.progress import Progress
from habitats.common.idempotency import made_before
from habitats.people.models.people import Person

LONGEST_REPAIR = 300
STEPS_NAMED = 3


def inspect(
    build: Build,
    answers: Sequence[Answered],
    *,
    signed: str,
    on: date,
    at: datetime,
    by: Person,
    idempotency_key: uuid.UUID,
) -> Inspection:
    """Keep the answers. All good: the build is inspected; else each failed point is a repair.

    The same key again changes nothing. Raises ``CannotBuild`` for a build that is not being
    built, has a step that nobody ticked, or a repair that is open.
    """
    with transaction.atomic():
        Build.objects.select_for_update(of=("self",), no_key=True).get(pk=build.pk)
        known = made_before(Inspection.objects, idempotency_key)
        if known:
            return known
        progress = Progress(build, by.units)
        if why := why_not_yet(build, progress):
            raise CannotBuild(why)
        failed = [one for one in answers if not one.is_good]
        made = build.inspections.create(
            on=on,
            answers=[one.as_kept() for one in answers],
            signed=signed,
            has_passed=not failed,
            made_by=by,
            idempotency_key=idempotency_key,
        )
        for one in failed:
            build.repairs.create(inspection=made, code=one.code, what=_repair(one), made_by=by)
        if not failed:
            _pass(build, progress, on, at, by, idempotency_key)
    return made


def why_not_yet(build: Build, progress: Progress) -> str:
    """Why it cannot be inspected now, in a sentence; empty if it can."""
    state = BuildState(build.state_now())
    if state != BuildState.BUILDING:
        return _("“%(build)s” is %(state)s. You can inspect a build while it is building.") % {
            "build": build,
            "state": state.in_a_sentence,
        }
    if open_steps := progress.not_ticked:
        names = "; ".join(f"{one.number}, {one.title}" for one in open_steps[:STEPS_NAMED])
        return _open_steps(names, len(open_steps) - STEPS_NAMED)
    repairs = Repair.objects.filter(build=build).open().values_list("what", flat=True)
    if repairs:
        names = "; ".join(str(one).rstrip(".") for one in repairs)
        return _("To mend: %(names)s. Mark it as mended, then inspect again.") % {"names": names}
    return ""


def _open_steps(names: str, more: int) -> str:
    if more < 1:
        return _("Not done yet: %(names)s. Do and tick these steps, then inspect.") % {
            "names": names
        }
    return ngettext(
        "Not done yet: %(names)s and %(more)d more. Do and tick these steps, then inspect.",
        "Not done yet: %(names)s and %(more)d more. Do and tick these steps, then inspect.",
        more,
    ) % {"names": names, "more": more}


def may_be_ticked_first(build: Build) -> bool:
    """Whether nothing but ticks is missing for an inspection."""
    is_under_way = build.state_now() in (BuildState.PLANNED, BuildState.PULLED, BuildState.BUILDING)
    return is_under_way and not Repair.objects.filter(build=build).open().exists()


def _repair(failed: Answered) -> str:
    return failed.note[:LONGEST_REPAIR] or failed.question


def _pass(
    build: Build, progress: Progress, on: date, at: datetime, by: Person, idempotency_key: uuid.UUID
) -> None:
    """The build is inspected, and its last step ticked with it."""
    build.set_state(
        BuildState.INSPECTED, on, by=by, idempotency_key=uuid.uuid5(idempotency_key, "inspected")
    )
    for step in progress.steps:
        if step.is_inspection and not step.is_done:
            build.ticks.create(
                step_key=step.step.key,
                at=at,
                made_by=by,
                idempotency_key=uuid.uuid5(idempotency_key, "tick"),
            )
