"""The first page after logging in: where one's role has work to do."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET

from habitats.access import signed_in
from habitats.models import Person

READERS_OF_DESIGNS = {Person.Role.COORDINATOR, Person.Role.BUILDER}


@require_GET
def home(request: HttpRequest) -> HttpResponse:
    person = signed_in(request)
    if person.role in READERS_OF_DESIGNS:
        return redirect("builds:designs")
    return render(request, "home.html")
