"""The laundry: what to wash today, loads in, out, dried and back, measuring after a first wash."""

import uuid
from collections.abc import Callable, Mapping, Sequence
from datetime import date
from functools import partial

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext
from django.views.decorators.http import require_GET, require_http_methods

from habitats.common.idempotency import get_or_make
from habitats.common.sent import form_page, sent_with
from habitats.linens.forms.loads import LoadForm, MeasureForm, StepForm
from habitats.linens.models import facts
from habitats.linens.models.laundry import filling, laundry_of, suspected, to_wash, under_way_first
from habitats.linens.models.linens import InvalidTransition, Linen
from habitats.linens.models.loads import Load
from habitats.linens.models.pools import Pool
from habitats.linens.models.releasing import MOST_IN_A_ROW, Offer, offers_for, release_of
from habitats.linens.models.shrinkage import ShrinkTest, shrinkage_of
from habitats.people.access import member_or_403
from habitats.people.models.people import Person
from habitats.people.views.based_on import accepted, based_on, row_of
from habitats.rotation.cloth import change_words, dimensional_change
from habitats.rotation.infection import WASHING_ADVICE, Suspicion, rules_for
from habitats.rotation.labels import NotALabel, read_label
from habitats.rotation.states import State
from habitats.wording import listed

POOLS_A_PAGE, LOADS_SHOWN, MOST_WORDS = 8, 3, 60
ROLES = (Person.Role.FOSTER, Person.Role.LAUNDRY)
STEPS = {
    State.WASHING: ("out", gettext_lazy("Take out"), gettext_lazy("In the machine")),
    State.DRYING: ("dry", gettext_lazy("Mark as dry"), gettext_lazy("Hung up or in the dryer")),
    State.DRY: (
        "back",
        gettext_lazy("Return to cupboard"),
        gettext_lazy("Dry, to be returned"),
    ),
}


@require_GET
def laundry(request: HttpRequest) -> HttpResponse:
    """Each pool: what waits, what the plan says to wash next, and what is under way.

    ``pool`` asks for the page that has the pool of this code, ``words`` for pools with them in
    their names.
    """
    person, today = member_or_403(request, *ROLES), timezone.localdate()
    all_pools = under_way_first(Pool.objects.visible_to(person).live(), today)
    words = " ".join(request.GET.get("words", "").split())[:MOST_WORDS]
    pools = [one for one in all_pools if words.casefold() in str(one).casefold()]
    asked = request.GET.get("page") or _page_of(request.GET.get("pool", ""), pools)
    page = Paginator(pools, POOLS_A_PAGE).get_page(asked)
    context = {
        "pools": laundry_of(list(page.object_list), today),
        "page": page,
        "today": today,
        "words": words,
        "most_words": MOST_WORDS,
        "is_many": len(all_pools) > POOLS_A_PAGE,
        "most_planned": LOADS_SHOWN,
        "first_loads": f":{LOADS_SHOWN}",
        "further_loads": f"{LOADS_SHOWN}:",
    }
    return render(request, "linens/laundry.html", context)


def _page_of(code: str, pools: Sequence[Pool]) -> int:
    """Where the pool of this code stands; the first page where it is none of them."""
    place = next((at for at, pool in enumerate(pools) if pool.code == code.upper()), 0)
    return place // POOLS_A_PAGE + 1


@require_http_methods(["GET", "POST"])
def new_load(request: HttpRequest, code: str) -> HttpResponse:
    """What goes into the machine; it is filled with what waits and may be washed together."""
    person, today = member_or_403(request, *ROLES), timezone.localdate()
    pool = get_object_or_404(Pool.objects.visible_to(person).live(), code=code.upper())
    kinds = suspected(pool)
    apart = _chosen_suspicion(request.GET.get("apart", ""), kinds)
    waiting = list(to_wash(pool, apart))
    ticked = filling(pool, waiting, today)
    inside = [one for one in waiting if one.label in set(ticked)]
    form = LoadForm(
        sent_with(request),
        pool=pool,
        waiting=waiting,
        today=today,
        ticked=ticked,
        offers=_offers(pool, (inside or waiting) if apart else []),
        seen=Linen.objects.visible_to(person, today),
        units=person.units,
    )
    if request.method == "POST" and form.is_valid() and (load := _started(form, pool, person)):
        number = len(form.chosen())
        started = ngettext(
            "%(number)d linen is in the machine.", "%(number)d linens are in the machine.", number
        )
        messages.success(request, started % {"number": number})
        return redirect("load", code=load.code)
    context = {
        "pool": pool,
        "form": form,
        "apart": apart,
        "words": Suspicion(apart).words if apart else "",
        "everyday": to_wash(pool).count() if apart else 0,
        "others": [(kind, Suspicion(kind).words, n) for kind, n in kinds.items() if kind != apart],
        "rules": _rules(waiting) if apart else [],
        "advice": WASHING_ADVICE,
    }
    return form_page(request, "linens/new_load.html", **context)


def _chosen_suspicion(asked: str, kinds: Mapping[str, int]) -> str:
    """What the linens of the page are set aside for; empty for everyday linens.

    Without a kind named it is that of the linens that wait longest.
    """
    if not asked:
        return ""
    return asked if asked in set(Suspicion) else next(iter(kinds), Suspicion.UNKNOWN)


def _offers(pool: Pool, apart: Sequence[Linen]) -> list[Offer]:
    """The pool's programmes, the coolest first; for those set aside, what releases them first."""
    programmes = pool.programmes.filter(put_away_on__isnull=True).order_by("temperature_c", "pk")
    if not apart:
        return [Offer(programme, 1, 0) for programme in programmes]
    return offers_for(programmes, apart)


@require_http_methods(["GET", "POST"])
@based_on(row_of(Load), facts.states_in)
def load(request: HttpRequest, code: str) -> HttpResponse:
    """One load on its way: some or all of its linens go on a step."""
    person, today = member_or_403(request, *ROLES), timezone.localdate()
    found = get_object_or_404(
        Load.objects.visible_to(person).select_related("pool", "programme"), code=code.upper()
    )
    linens = list(found.linens())
    form = None
    if request.method == "POST":
        form = StepForm(request.POST, linens=linens, today=today)
        if accepted(request, form) and _went_on(form, found, person):
            _tell_what_came_back(request, form)
            return redirect("load", code=found.code)
    still = {state: found.still(state) for state in STEPS}
    stages = [(*STEPS[state], there) for state, there in still.items() if there]
    gone = {one.pk for there in still.values() for one in there}
    context = {
        "load": found,
        "form": form,
        "stages": stages,
        "back": [one for one in linens if one.pk not in gone],
        "advice": WASHING_ADVICE if found.suspicion else "",
        "washes": _washes(found),
        # The same again where it was refused, so that what is sent anew still happens once.
        "once": request.POST.get("once") or uuid.uuid4(),
        "today": today,
    }
    return form_page(request, "linens/load.html", **context)


@require_http_methods(["GET", "POST"])
def measure(request: HttpRequest, label: str) -> HttpResponse:
    """After the first wash: how much it shrank, which the next cut of its kind reckons with."""
    person, today = member_or_403(request, *ROLES), timezone.localdate()
    linen = _linen_seen_by(person, label, today)
    form = MeasureForm(sent_with(request), linen=linen, units=person.units, today=today)
    if request.method == "POST" and form.is_valid() and _measured(request, form, linen, person):
        return redirect("linen_link", label=linen.label)
    context = {"linen": linen, "form": form, "shrinkage": shrinkage_of(linen.kind)}
    return form_page(request, "linens/measure.html", **context)


def _started(form: LoadForm, pool: Pool, person: Person) -> Load | None:
    given = form.cleaned_data
    try:
        return Load.objects.start(
            pool,
            form.chosen(),
            given["programme"].programme,
            given["on"],
            by=person,
            in_a_row=given["programme"].washes,
            idempotency_key=given["once"],
        )
    except InvalidTransition as refused:
        form.add_error(None, str(refused))
        return None


def _washes(load: Load) -> list[tuple[int, bool]]:
    """How many washes it may have been when it is taken out, the number meant first, as (number,
    whether it was meant); an everyday load is washed once, and is not asked about."""
    if not load.suspicion:
        return []
    numbers = range(1, MOST_IN_A_ROW + 1)
    return sorted(((n, n == load.in_a_row) for n in numbers), key=lambda one: not one[1])


def _rules(waiting: list[Linen]) -> list[str]:
    """For each suspicion among them what the programme has to do, with the source."""
    return [
        _("For %(suspicion)s you need %(washes)s.")
        % {"suspicion": suspicion.words, "washes": _washes_needed(suspicion)}
        for suspicion in Suspicion
        if any(one.suspicion == suspicion for one in waiting)
    ]


def _washes_needed(suspicion: Suspicion) -> str:
    rules = [f"{rule.words} ({rule.source.text})" for rule in rules_for(suspicion)]
    return str(listed(rules))


def _went_on(form: StepForm, load: Load, person: Person) -> bool:
    given = form.cleaned_data
    steps: Mapping[str, Callable[..., int]] = {
        "out": partial(load.take_out, washes=given["washes"]),
        "dry": load.mark_dry,
        "back": load.bring_back,
    }
    try:
        steps[given["step"]](
            given["on"], by=person, linens=given["linens"], idempotency_key=given["once"]
        )
    except InvalidTransition as refused:
        form.add_error(None, str(refused))
        return False
    return True


def _tell_what_came_back(request: HttpRequest, form: StepForm) -> None:
    """How many are released; those still set aside, and those to be measured, are named."""
    if form.cleaned_data["step"] != "back":
        return
    linens = form.cleaned_data["linens"]  # as they were before the step
    back = Linen.objects.filter(pk__in=[one.pk for one in linens]).with_kind()
    suspected_before = [one.pk for one in linens if one.suspicion]
    if released := back.filter(pk__in=suspected_before, suspicion="").count():
        sentence = ngettext(
            "%(number)d linen is released. If a vet says otherwise, do as the vet says.",
            "%(number)d linens are released. If a vet says otherwise, do as the vet says.",
            released,
        )
        messages.success(request, sentence % {"number": released})
    for linen in back.filter(state=State.SET_ASIDE):
        messages.warning(request, f"{linen}: {release_of(linen).sentence}")
    for linen in back.filter(state=State.FIRST_WASHED):
        sentence = _("%(linen)s is back from its first wash: measure it, dry and flat.")
        messages.info(request, sentence % {"linen": linen})


def _linen_seen_by(person: Person, label: str, today: date) -> Linen:
    seen = Linen.objects.visible_to(person, today).with_kind()
    try:
        return get_object_or_404(seen, label=read_label(label))
    except NotALabel:
        return get_object_or_404(seen.none())


def _measured(request: HttpRequest, form: MeasureForm, linen: Linen, person: Person) -> bool:
    given = form.cleaned_data
    sides = ("before_width_mm", "before_length_mm", "after_width_mm", "after_length_mm")
    try:
        if linen.state == State.FIRST_WASHED:
            linen.set_state(State.CLEAN, given["on"], by=person)
    except InvalidTransition as refused:
        form.add_error(None, str(refused))
        return False
    get_or_make(
        ShrinkTest.objects,
        given["once"],
        kind=linen.kind,
        linen=linen,
        on=given["on"],
        made_by=person,
        **{name: given[name] for name in sides},
    )
    width, length = (
        change_words(dimensional_change(given[f"before_{side}_mm"], given[f"after_{side}_mm"]))
        for side in ("width", "length")
    )
    sentence = _("%(linen)s changed by %(width)s in width and %(length)s in length.")
    messages.success(request, sentence % {"linen": linen, "width": width, "length": length})
    return True
