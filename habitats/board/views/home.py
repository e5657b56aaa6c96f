"""The first page after logging in: where one's role has work to do."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_GET

from habitats.people.access import signed_in
from habitats.people.models.people import Person

ARRIVALS = {
    Person.Role.COORDINATOR: "today",
    Person.Role.FOSTER: "today",
    Person.Role.BUILDER: "builds:arrival",
    Person.Role.LAUNDRY: "laundry",
}


@require_GET
def home(request: HttpRequest) -> HttpResponse:
    person = signed_in(request)
    return redirect(ARRIVALS[Person.Role(person.role)])
