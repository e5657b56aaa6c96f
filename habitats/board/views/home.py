"""The first page after logging in: Today, whatever one's role."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_GET

from habitats.people.access import signed_in


@require_GET
def home(request: HttpRequest) -> HttpResponse:
    signed_in(request)
    return redirect("today")
