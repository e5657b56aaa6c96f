"""The page of sources: for everyone who is logged in."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from builds.cited import GRADES, chapters
from habitats.people.access import signed_in


@require_GET
def sources(request: HttpRequest) -> HttpResponse:
    person = signed_in(request)
    context = {"chapters": chapters(person.units), "grades": GRADES}
    return render(request, "sources/sources.html", context)
