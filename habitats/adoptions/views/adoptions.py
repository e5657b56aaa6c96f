"""Adoptions: found, begun, looked at, corrected."""

from collections.abc import Sequence
from datetime import date
from functools import partial

from django.contrib import messages
from django.core.paginator import Paginator
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from habitats.adoptions.forms.adoptions import (
    AdoptionForm,
    FindAdoptionsForm,
    ReserveForm,
    reserved_first,
)
from habitats.adoptions.models.adoptions import AdoptedAnimal, Adoption
from habitats.adoptions.models.reasons import (
    Going,
    Reason,
    going_with,
    objections_to_going,
    override_all,
)
from habitats.adoptions.models.steps import MOST_TOGETHER, AdoptionStep, reserve
from habitats.adoptions.pages.adoption_page import AdoptionPage
from habitats.animals.forms.groups import chosen_animals
from habitats.animals.models.animals import Animal
from habitats.animals.models.groups import Membership
from habitats.animals.pages.rows import AnimalRow, rows_of
from habitats.common.happened import Elsewhere
from habitats.common.name_order import InNameOrder
from habitats.common.sent import form_page, sent_with
from habitats.people.access import coordinator_or_403
from habitats.people.models.people import Person
from habitats.people.views.based_on import accepted, based_on, of_form, row_of
from habitats.rescue.models.rescue import Rescue
from habitats.welfare.new_home import CompanyAtHome

ADOPTIONS_A_PAGE, MOST_OFFERED = 50, 20


@require_GET
def adoptions(request: HttpRequest) -> HttpResponse:
    coordinator_or_403(request)
    form = FindAdoptionsForm(request.GET)
    found = form.found().with_names().order_by(reserved_first(), "-pk")
    page = Paginator(found, ADOPTIONS_A_PAGE).get_page(request.GET.get("page"))
    context = {
        "form": form,
        "page": page,
        "any": Adoption.objects.exists(),
        "today": timezone.localdate(),
    }
    return render(request, "adoptions/adoptions.html", context)


@require_http_methods(["GET", "POST"])
def new_adoption(request: HttpRequest) -> HttpResponse:
    """Which animals, for whom; with what speaks against it said first."""
    person, today = coordinator_or_403(request), timezone.localdate()
    asked = (request.POST or request.GET).getlist("animal")[:MOST_TOGETHER]
    animals = list(chosen_animals(asked).with_weight())
    going = going_with(animals, today)
    form = ReserveForm(
        sent_with(request),
        judge=partial(_reasons, going, today),
        species=animals[0].species if animals else "",
        today=today,
        initial={"adopter": request.GET.get("adopter", "").upper()},
    )
    if request.method == "POST" and not animals:
        form.add_error(None, _("No animal is chosen. Search for one below, and choose it."))
    elif request.method == "POST" and form.is_valid():
        made = _reserved(form, animals, person)
        if made:
            messages.success(request, _("Reserved. Check the enclosure at the new home next."))
            return redirect("adoption", code=made.code)
    words = request.GET.get("words", "").strip()[:60]
    context = {
        "form": form,
        "chosen": rows_of(animals, today),
        "left_behind": _left_behind(going, animals),
        "words": words,
        "adopter_code": request.GET.get("adopter", "")[:20],
        "offered": _offered(words, animals),
    }
    return form_page(request, "adoptions/new_adoption.html", **context)


def _reasons(going: Going, today: date, at_home: CompanyAtHome) -> list[Reason]:
    """What speaks against their going to a home with such company."""
    found = objections_to_going(going, at_home, today, Rescue.ours())
    return [Reason(one.key, one) for one in found]


@require_GET
def adoption(request: HttpRequest, code: str) -> HttpResponse:
    person = coordinator_or_403(request)
    page = AdoptionPage(adoption_with(code), person, timezone.localdate())
    return render(request, "adoptions/adoption.html", {"adoption": page.adoption, "page": page})


@require_http_methods(["GET", "POST"])
@based_on(row_of(Adoption), of_form(AdoptionForm))
def edit_adoption(request: HttpRequest, code: str) -> HttpResponse:
    coordinator_or_403(request)
    found = adoption_with(code)
    form = AdoptionForm(sent_with(request), instance=found)
    if accepted(request, form):
        form.save()
        messages.success(request, _("Adoption saved."))
        return redirect("adoption", code=found.code)
    return form_page(request, "adoptions/edit_adoption.html", form=form, adoption=found)


def adoption_with(code: str) -> Adoption:
    """The adoption with this code, with its state and names; else there is no such page."""
    found = Adoption.objects.with_state().with_names()
    return get_object_or_404(found, code=code.upper())


def _reserved(form: ReserveForm, animals: Sequence[Animal], by: Person) -> Adoption | None:
    """None if it cannot be, and then the form says why."""
    given = form.cleaned_data
    try:
        with transaction.atomic():
            made = reserve(
                form.the_adopter(by=by),
                animals,
                AdoptionStep(given["on"], by, given["once"]),
                notes=given["notes"],
                at_home=form.at_home,
            )
            override_all(made, form.asks, given["reason"], confirmed=given["confirmed"], by=by)
    except Elsewhere as reason:
        form.add_error(None, str(reason))
        return None
    return made


def _left_behind(going: Going, animals: Sequence[Animal]) -> list[Animal]:
    """Who lives with them and is not chosen, to be chosen with one tap."""
    living = Membership.objects.filter(group__in=going.group_keys).open()
    found = Animal.objects.filter(pk__in=living.values("animal"))
    return list(found.exclude(pk__in=[one.pk for one in animals]).by_name())


def _offered(words: str, animals: Sequence[Animal]) -> list[AnimalRow]:
    """Those that fit the words and are in no running adoption."""
    if not words:
        return []
    found = Animal.objects.here().named_like(words)
    taken = AdoptedAnimal.objects.open().values("animal")
    free = found.exclude(pk__in=[one.pk for one in animals]).exclude(pk__in=taken)
    if animals:
        free = free.filter(species=animals[0].species)
    return rows_of(InNameOrder(free.with_weight())[:MOST_OFFERED], timezone.localdate())
