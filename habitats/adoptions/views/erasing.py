"""What is stored of an adopter: for the adopter to have, and its end."""

from datetime import timedelta

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from habitats.adoptions.forms.adopters import AdopterForm
from habitats.adoptions.models.adopters import Adopter
from habitats.adoptions.models.erasing import (
    CannotErase,
    data_of,
    erase,
    reason_against,
    without_contact_since,
)
from habitats.common.sent import UNPROCESSABLE
from habitats.people.access import coordinator_or_403
from habitats.people.models.named_after import named_after
from habitats.people.views.based_on import based_on, of_form, refuse_if_changed, row_of
from habitats.rescue.models.rescue import Rescue

DAYS_A_YEAR = 365
MOST_SHOWN = 100


@require_GET
def adopter_data(request: HttpRequest, code: str) -> JsonResponse:
    coordinator_or_403(request)
    found = get_object_or_404(Adopter, code=code.upper(), same_as__isnull=True)
    headers = {"Content-Disposition": f'attachment; filename="adopter-{found.code}.json"'}
    return JsonResponse(data_of(found), json_dumps_params={"indent": 2}, headers=headers)


@require_http_methods(["GET", "POST"])
@based_on(row_of(Adopter), of_form(AdopterForm))
def erase_adopter(request: HttpRequest, code: str) -> HttpResponse:
    person = coordinator_or_403(request)
    found = get_object_or_404(Adopter, code=code.upper(), same_as__isnull=True)
    if found.erased_on:
        return redirect("adopter", code=found.code)
    why, status = reason_against(found), 200
    if request.method == "POST":
        refuse_if_changed(request)
        try:
            erase(found, by=person)
        except CannotErase as refused:
            why, status = str(refused), UNPROCESSABLE
        else:
            messages.success(request, _("Adopter erased. Animals, days and outcomes stay."))
            return redirect("adopters")
    names = [found.name, found.name.split()[-1]]
    context = {"adopter": found, "why": why, "named_after": named_after(names)}
    return render(request, "adoptions/erase_adopter.html", context, status=status)


@require_GET
def erasable_adopters(request: HttpRequest) -> HttpResponse:
    """Without contact for as long as the rescue's rule says; nothing is erased by itself."""
    coordinator_or_403(request)
    years = Rescue.ours().erase_adopters_after_years
    found = []
    if years:
        since = timezone.localdate() - timedelta(days=years * DAYS_A_YEAR)
        found = list(without_contact_since(since)[:MOST_SHOWN])
    return render(request, "adoptions/erasable.html", {"years": years, "adopters": found})
