"""The rescue's own times by kind of work, beside the usual ones."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from builds.making.pace import LEAST_STEPS
from builds.plans.models.learning import learnt_times
from habitats.people.access import member_or_403
from habitats.people.models.people import Person
from habitats.rescue.models.rescue import Rescue


@require_GET
def times(request: HttpRequest) -> HttpResponse:
    member_or_403(request, Person.Role.BUILDER)
    context = {
        "learnt": learnt_times(),
        "least": LEAST_STEPS,
        "is_followed": Rescue.ours().learns_times,
    }
    return render(request, "building/times.html", context)
