"""The first page after logging in."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import NoReverseMatch
from django.views.decorators.http import require_GET

from habitats.access import signed_in


@require_GET
def home(request: HttpRequest) -> HttpResponse:
    signed_in(request)
    try:
        return redirect("builds:designs")
    except NoReverseMatch:
        return render(request, "home.html")
