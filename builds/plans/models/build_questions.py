"""What every page of a build and every tick asks of one build: each question is written once."""

from collections import defaultdict
from collections.abc import Sequence
from typing import Any

from django.db import models

from builds.plans.models.build_acts import ACTS, Overtaken, Start, Tick
from builds.plans.models.build_plans import BuildPlan
from builds.plans.models.builds import Build, BuildEvent
from habitats.common.written import given, given_keys, written
from habitats.people.models.people import Person

_BUILD = given("build", Build)

_BY_CODE = written(
    lambda: Build.objects.filter(code=given("code", str)).select_related("home", "enclosure")
)
_NEWEST_PLAN = written(
    lambda: (
        BuildPlan.objects.filter(build=_BUILD).newest_first().select_related("revision__design")[:1]
    )
)
_TICKS = written(
    lambda: Tick.objects.filter(build=_BUILD).counting().select_related("made_by").order_by("pk")
)


def build_of_code(code: str) -> Build | None:
    """With its home and its enclosure."""
    return next(iter(_BY_CODE(code=code.upper())), None)


def newest_plan_of(build: Build) -> BuildPlan:
    plan = _NEWEST_PLAN(build=build)[0]
    plan.build = build
    return plan


def counting_ticks_of(build: Build) -> list[Tick]:
    """In the order in which they reached us, with who made them."""
    return _TICKS(build=build)


# --- Who did what last ---


def last_acts_of(build: Build) -> list[Any]:
    """The last act of each kind of each person; who came through a link is nobody of ours.

    One question for all kinds, and one for each kind of which there is any.
    """
    keys: dict[int, list[int]] = defaultdict(list)
    for number, key in _NEWEST_ACTS(build=build):
        keys[number].append(key)
    return [
        act for number, found in sorted(keys.items()) for act in _ACTS_OF_KEYS[number](keys=found)
    ]


def _newest_acts() -> "models.QuerySet[Any, Any]":
    asked = []
    for number, kind in enumerate(ACTS):
        acts: Any = kind._default_manager.filter(build=_BUILD).order_by()
        ours = acts.filter(link__isnull=True) if kind is Tick else acts
        newest = ours.values("made_by").annotate(of=models.Value(number), newest=models.Max("pk"))
        asked.append(newest.values_list("of", "newest"))
    return _all_of(asked)


def _all_of(asked: "Sequence[models.QuerySet[Any, Any]]") -> "models.QuerySet[Any, Any]":
    return asked[0].union(*asked[1:], all=True)


def _acts_of_keys(kind: Any) -> Any:
    of = written(
        lambda: kind._default_manager.filter(pk__in=given_keys("keys")).select_related("made_by")
    )
    return of


_NEWEST_ACTS = written(_newest_acts)
_ACTS_OF_KEYS = tuple(_acts_of_keys(kind) for kind in ACTS)


# --- How it stands ---


def standing_of(build: Build) -> tuple[Any, ...]:
    """Another one whenever the build stands otherwise for any reader, in two questions.

    Acts and plans are appended, so how many there are is enough; of people their names.
    """
    return tuple(sorted(_COUNTS(build=build))), tuple(sorted(_PEOPLE(build=build)))


def words_on(build: Build) -> int:
    """How many times something was said that changes how it stands; it never becomes fewer."""
    return sum(count for (count,) in _WORDS(build=build))


def _counts() -> "models.QuerySet[Any, Any]":
    late = Overtaken.objects.filter(tick__build=_BUILD).order_by().values("tick__build")
    counts = [*_counted(*ACTS, *_said_besides()), late.annotate(n=models.Count("pk"))]
    asked = [
        one.annotate(of=models.Value(number)).values_list("of", "n")
        for number, one in enumerate(counts)
    ]
    return _all_of(asked)


def _words() -> "models.QuerySet[Any, Any]":
    return _all_of([one.values_list("n") for one in _counted(Tick, Start, *_said_besides())])


def _counted(*kinds: Any) -> "list[models.QuerySet[Any, Any]]":
    rows = [kind._default_manager.filter(build=_BUILD).order_by() for kind in kinds]
    return [one.values("build").annotate(n=models.Count("pk")) for one in rows]


def _said_besides() -> tuple[Any, ...]:
    repairs = Build._meta.get_field("repairs").related_model  # of a room that stands on this one
    return BuildEvent, BuildPlan, repairs


def _people() -> "models.QuerySet[Any, Any]":
    acts = [kind._default_manager.filter(build=_BUILD).order_by() for kind in (Tick, Start)]
    makers = [one.values("made_by") for one in acts]
    made = models.Q(pk__in=makers[0]) | models.Q(pk__in=makers[1])
    of = ("is_on", "pk", "username", "first_name", "last_name")
    people = Person.objects.order_by()
    on_it = people.filter(builds=_BUILD).annotate(is_on=models.Value(1)).values_list(*of)
    busy = people.filter(made).annotate(is_on=models.Value(0)).values_list(*of)
    return on_it.union(busy, all=True)


_COUNTS, _WORDS, _PEOPLE = written(_counts), written(_words), written(_people)
