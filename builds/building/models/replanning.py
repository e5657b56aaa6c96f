"""Re-planning a build: ticks carried over, ticks removed, and new steps."""

import uuid
from typing import NamedTuple

from django.utils.translation import gettext as _

from builds.batches.models.sheet_jobs import seen_to
from builds.common.reckonings import stock_sheet_for
from builds.making.blank import SheetSize
from builds.making.step_keys import key_of
from builds.plans.models.build_plans import BuildPlan, in_frame_of
from builds.plans.models.builds import Build, BuildState, CannotBuild
from builds.plans.models.cut_pieces import has_cut_pieces
from builds.plans.models.plan_cards import step_cards_of
from builds.plans.models.progress import Progress, StepNow
from habitats.designs.models.designs import Design
from habitats.designs.models.structures import structure_of
from habitats.people.models.people import Person
from habitats.structure.design import Design as Shape

CAN_BE_PLANNED_ANEW = (BuildState.PLANNED, BuildState.PULLED, BuildState.BUILDING)


class Replanned(NamedTuple):
    """What re-planning would do. ``new`` are titles of steps that are not in the plan now.

    ``kept`` and ``lost`` are steps that are ticked; ``dropped`` is how many others go.
    """

    kept: tuple[StepNow, ...]
    lost: tuple[StepNow, ...]
    dropped: int
    new: tuple[str, ...]

    @property
    def changes_nothing(self) -> bool:
        return not (self.lost or self.dropped or self.new)


def compare(progress: Progress, design: Design, drawn: Shape | None = None) -> Replanned:
    """The plan as it is beside the design as it is ``drawn``, None for now. Raises
    ``CannotBuild``.
    """
    refuse(progress.build)
    shape = drawn or design.shape()
    if structure_of(shape) is None:
        raise CannotBuild(
            _("“%(design)s” is a draft now: finish it on its drawing board first.")
            % {"design": design}
        )
    assert design.current is not None, "every design that is kept has a revision"
    stands = progress.plan.stands(design.current)
    sheet = settled_sheet(progress.build, shape) or stock_sheet_for(shape, stands)
    cards = step_cards_of(shape, sheet, stands)
    cards = in_frame_of(progress.build, cards, progress.plan.standing)
    titles = {key_of(card["facts"]): card["title"][progress.units] for card in cards}
    here = {step.step.key for step in progress.steps}
    done = [step for step in progress.steps if step.is_done]
    gone = [step for step in progress.steps if step.step.key not in titles]
    return Replanned(
        kept=tuple(step for step in done if step.step.key in titles),
        lost=tuple(step for step in gone if step.is_done),
        dropped=sum(not step.is_done for step in gone),
        new=tuple(title for key, title in titles.items() if key not in here),
    )


def plan_anew(build: Build, design: Design, *, by: Person, idempotency_key: uuid.UUID) -> BuildPlan:
    """Another plan, from the design as it is drawn now; ticks count where the step is the same.

    Raises ``CannotBuild`` for a draft, and for a build that is inspected or has ended.
    """
    refuse(build)
    assert design.current is not None, "every design that is kept has a revision"
    plan, sheet = build.plans.newest_first()[0], settled_sheet(build, design.shape())
    return BuildPlan.objects.work_out(
        build,
        design.current,
        standing=plan.standing,
        sheet=sheet,
        job=plan.job if sheet else "",
        by=by,
        idempotency_key=idempotency_key,
    )


def settled_sheet(build: Build, shape: Shape) -> SheetSize | None:
    """What its pieces are made for once one of them is cut, or a sheet plan cuts them for this
    shape; None: they may still be others.
    """
    plan = build.plans.newest_first().select_related("revision")[0]
    drawn, seen = (build.pk, plan.revision_id), seen_to([build.pk])
    is_planned = drawn in seen.planned and plan.revision.shape() == shape
    return plan.sheet if is_planned or drawn in seen.cut or has_cut_pieces(build) else None


def refuse(build: Build) -> None:
    """Raise ``CannotBuild`` for a build that cannot be re-planned."""
    if build.plans.filter(is_repair=True).exists():
        raise CannotBuild(
            _(
                "“%(build)s” is a repair, and its steps follow from its faults. "
                "Stop it and plan another repair instead."
            )
            % {"build": build}
        )
    state = BuildState(build.state_now())
    if state not in CAN_BE_PLANNED_ANEW:
        raise CannotBuild(
            _(
                "“%(build)s” is %(state)s. You can re-plan a build while it is planned, pulled or "
                "building: plan another build, or change this one back to building."
            )
            % {"build": build, "state": state.in_a_sentence}
        )
