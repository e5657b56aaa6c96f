"""What a rescue's own times say: read off the last steps that were timed, kept with the rescue."""

from collections import defaultdict

from builds.making.pace import Learnt, TimedStep, learn, pace_of
from builds.making.step import Task
from builds.plans.models.build_acts import Start, Tick
from builds.plans.models.build_plans import BuildStep
from builds.plans.models.time_used import minutes_used
from habitats.enclosures.models.enclosures import EnclosureEvent
from habitats.rescue.models.rescue import Rescue

# The last of them: builders get faster, and the answer to a tick must not wait for years of work.
MOST_STARTS = 600

_StepOf = tuple[int, str]  # the build's key and the step's


def learnt_times() -> tuple[Learnt, ...]:
    """Four questions, however many builds there were."""
    starts: dict[_StepOf, list[Start]] = defaultdict(list)
    for start in Start.objects.order_by("-pk")[:MOST_STARTS]:
        starts[(start.build_id, start.step_key)].append(start)
    of = {"build__in": {build for build, _key in starts}, "step_key__in": {k for _b, k in starts}}
    ticks: dict[_StepOf, tuple[Tick, ...]] = defaultdict(tuple)
    for tick in Tick.objects.counting().filter(**of).order_by("pk"):
        step = (tick.build_id, tick.step_key)
        ticks[step] = (tick, *ticks[step]) if tick.is_done else ()
    return learn([*_timed(starts, ticks), *_taken_down()])


def _timed(
    starts: dict[_StepOf, list[Start]], ticks: dict[_StepOf, tuple[Tick, ...]]
) -> list[TimedStep]:
    used = {step: minutes_used(ticks[step], found) for step, found in starts.items()}
    known = {step: minutes for step, minutes in used.items() if minutes is not None}
    rows = BuildStep.objects.filter(
        plan__build__in={build for build, _key in known}, key__in={key for _build, key in known}
    )
    cards = rows.order_by("plan__number").values_list(
        "plan__build", "key", "card__facts__0", "card__table_minutes", "card__minutes"
    )
    of = {(build, key): (task, table or minutes) for build, key, task, table, minutes in cards}
    return [
        TimedStep(str(of[step][0] or ""), int(of[step][1]), minutes)
        for step, minutes in known.items()
        if step in of
    ]


def _taken_down() -> list[TimedStep]:
    """Enclosures that were retired, each as one piece of work: it is told as a whole."""
    told = EnclosureEvent.objects.filter(table_minutes__gt=0, ended_at__isnull=False)
    events = told.exclude(begun_at=None).order_by("-pk")[:MOST_STARTS]
    return [TimedStep(Task.TAKE, one.table_minutes or 0, one.minutes_used or 0) for one in events]


def relearn() -> None:
    """A step was timed: the next plan, and whatever tells a time, follow it."""
    pace = dict(pace_of(learnt_times()).percents)
    ours = Rescue.ours()
    if ours.work_pace != pace:
        Rescue.objects.filter(pk=ours.pk).update(work_pace=pace)
