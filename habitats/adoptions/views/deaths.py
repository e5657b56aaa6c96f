"""A death at the adopter's: recorded, or marked as wrong."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from habitats.adoptions.forms.deaths import DeathForm
from habitats.adoptions.models import facts
from habitats.adoptions.models.adoptions import Adoption
from habitats.adoptions.models.deaths import AdopterDeath, record_death, strike_death
from habitats.adoptions.models.steps import AdoptionStep
from habitats.adoptions.views.adoptions import adoption_with
from habitats.common.happened import Elsewhere
from habitats.common.sent import form_page, sent_with
from habitats.people.access import coordinator_or_403
from habitats.people.views.based_on import accepted, based_on, row_of


@require_http_methods(["GET", "POST"])
@based_on(row_of(Adoption), facts.last_event)
def died(request: HttpRequest, code: str) -> HttpResponse:
    person, found = coordinator_or_403(request), adoption_with(code)
    there = found.open_animals()
    form = DeathForm(sent_with(request), there=there, today=timezone.localdate())
    if accepted(request, form):
        given = form.cleaned_data
        step = AdoptionStep(given["on"], person, given["once"], given["note"])
        try:
            record_death(found, given["animal"], step, given.get("ask_on"))
        except Elsewhere as reason:
            form.add_error("on", str(reason))
        else:
            words = _("Death of %(animal)s recorded.") % {"animal": given["animal"]}
            messages.success(request, words)
            return redirect("adoption", code=found.code)
    return form_page(request, "adoptions/died.html", form=form, adoption=found, there=there)


@require_POST
def strike(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    person = coordinator_or_403(request)
    found = get_object_or_404(AdopterDeath, adopted__adoption__code=code.upper(), pk=pk)
    try:
        strike_death(found, by=person)
    except Elsewhere as reason:
        messages.error(request, str(reason))
    else:
        messages.success(request, _("Marked as wrong; kept in the history."))
    return redirect("adoption", code=code.upper())
