"""The state of the server: for a monitor as JSON, for coordinators as a page."""

from django.conf import settings
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from habitats.common.kept_prints import forget_erased
from habitats.people.access import coordinator_or_403
from habitats.server.conditions import Health, conditions, worst
from habitats.server.release_notes import newest_notes, version

UNAVAILABLE = 503


@login_not_required
@never_cache
@require_safe
def health_check(request: HttpRequest) -> HttpResponse:
    """Grades only: what else there is to know of the server is for coordinators.

    503 where a condition fails, so that a monitor or balancer needs to read no JSON.
    """
    found = conditions()
    health = worst(found)
    if health is not Health.FAIL:
        # Monitors ask each server again and again: what another one erased is forgotten here.
        forget_erased()
    told = {
        "status": health.value,
        "checks": {one.key: [{"status": one.health.value}] for one in found},
    }
    status = UNAVAILABLE if health is Health.FAIL else 200
    return JsonResponse(told, status=status, content_type="application/health+json")


@require_safe
def state_of_the_server(request: HttpRequest) -> HttpResponse:
    coordinator_or_403(request)
    found = conditions()
    context = {
        "conditions": found,
        "is_well": worst(found) is Health.PASS,
        "version": version(settings.BASE_DIR),
        "notes": newest_notes(settings.BASE_DIR),
        "data_folder": settings.DATA_DIR,
    }
    return render(request, "server/state.html", context)
