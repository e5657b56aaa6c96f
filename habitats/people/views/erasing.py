"""What is stored of a person of the team: for the person to have, and its end."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_http_methods

from habitats.common.sent import UNPROCESSABLE
from habitats.people.access import coordinator_or_403, signed_in
from habitats.people.forms.people import PersonForm
from habitats.people.models.access_events import AccessEvent, note
from habitats.people.models.erasing import CannotErasePerson, data_of, erase, reason_against
from habitats.people.models.named_after import named_after
from habitats.people.models.people import Person
from habitats.people.views.based_on import based_on, of_form, refuse_if_changed, row_of


@never_cache
@require_GET
def own_data(request: HttpRequest) -> JsonResponse:
    return _downloaded(request, Person.objects.get(pk=signed_in(request).pk))


@never_cache
@require_GET
def person_data(request: HttpRequest, pk: int) -> JsonResponse:
    coordinator_or_403(request)
    return _downloaded(request, get_object_or_404(Person, pk=pk, same_as__isnull=True))


def _downloaded(request: HttpRequest, person: Person) -> JsonResponse:
    told = data_of(person)
    note(AccessEvent.Kind.DATA_HANDED_OUT, person, request)
    headers = {"Content-Disposition": f'attachment; filename="person-{person.pk}.json"'}
    return JsonResponse(told, json_dumps_params={"indent": 2}, headers=headers)


@require_http_methods(["GET", "POST"])
@based_on(row_of(Person, "pk"), of_form(PersonForm))
def erase_person(request: HttpRequest, pk: int) -> HttpResponse:
    coordinator = coordinator_or_403(request)
    person = get_object_or_404(Person, pk=pk, same_as__isnull=True)
    if person.erased_on:
        return redirect("people")
    why, status = reason_against(person, coordinator), 200
    if request.method == "POST":
        refuse_if_changed(request)
        try:
            erase(person, by=coordinator)
        except CannotErasePerson as refused:
            why, status = str(refused), UNPROCESSABLE
        else:
            note(AccessEvent.Kind.ERASED, Person.objects.get(pk=pk), request)
            messages.success(
                request, _("Person erased. What they recorded stays, without their name.")
            )
            return redirect("people")
    names = [person.get_full_name(), person.first_name, person.last_name]
    context = {
        "person": person,
        "why": why,
        "homes": person.homes.filter(closed_on__isnull=True).order_by("name", "pk"),
        "named_after": named_after(names),
    }
    return render(request, "people/erase_person.html", context, status=status)
