"""Set-up: the steps of a new rescue, to be left and taken up again."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from habitats.board.models.set_up import progress
from habitats.board.pages.set_up import shown_steps
from habitats.people.access import coordinator_or_403
from habitats.rescue.models.rescue import Rescue


@require_GET
def set_up(request: HttpRequest) -> HttpResponse:
    coordinator_or_403(request)
    found = progress()
    return render(request, "board/set_up.html", {"progress": found, "steps": shown_steps(found)})


@require_POST
def close_set_up(request: HttpRequest) -> HttpResponse:
    """Today no longer shows it; the page stays, under Settings."""
    coordinator_or_403(request)
    _close(True)
    messages.success(request, _("Set-up is hidden from Today. You find it under Settings."))
    return redirect("today")


@require_POST
def reopen_set_up(request: HttpRequest) -> HttpResponse:
    coordinator_or_403(request)
    _close(False)
    messages.success(request, _("Today shows the set-up again."))
    return redirect("set_up")


def _close(is_closed: bool) -> None:
    ours = Rescue.ours()
    ours.is_set_up_closed = is_closed
    ours.save(update_fields=["is_set_up_closed"])
