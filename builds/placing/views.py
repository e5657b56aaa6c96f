"""A placing proposed, changed by hand, and carried out."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods

from builds.placing.forms import by_hand_in
from builds.placing.models.carrying_out import MovedSince, carry_out
from builds.placing.models.case_today import RescueToday
from builds.placing.pages.placing_page import PlacingPage, is_done, no_longer
from habitats.common.happened import Elsewhere
from habitats.common.sent import UNPROCESSABLE
from habitats.people.access import coordinator_or_403
from habitats.people.models.people import Person
from habitats.wording import listed


@require_http_methods(["GET", "POST"])
def placing(request: HttpRequest) -> HttpResponse:
    """Worked out whenever it is opened; wishes stand in the address, so nothing is kept."""
    person = coordinator_or_403(request)
    rescue = RescueToday(timezone.localdate())
    wishes = request.POST if request.method == "POST" else request.GET
    page = PlacingPage(rescue, by_hand_in(wishes, rescue), person.units)
    if request.method != "POST":
        return render(request, "placing/placing.html", {"page": page})
    fault = _carried_out(request, page, rescue, person)
    if fault:
        context = {"page": page, "fault": fault}
        return render(request, "placing/placing.html", context, status=UNPROCESSABLE)
    return redirect("builds:placing")


def _carried_out(request: HttpRequest, page: PlacingPage, rescue: RescueToday, by: Person) -> str:
    """Why nothing was moved; empty once all are."""
    before = request.POST.get("proposal", "")
    if is_done(before, rescue):
        return ""
    if before != page.proposal:
        gone = no_longer(before, page, rescue)
        if gone:
            words = _(
                "Something changed since, and nothing was moved. No longer proposed: %(moves)s."
            )
            return words % {"moves": listed(gone)}
        return _("Something changed since, and nothing was moved. Look at the moves once more.")
    try:
        carry_out(page.moves, rescue, by=by, on=rescue.today)
    except MovedSince:
        return _("Something changed since, and nothing was moved. Look at the moves once more.")
    except Elsewhere as reason:
        return _("Nothing was moved. %(reason)s") % {"reason": reason}
    moved = len({one.group for one in page.moves})
    words = ngettext("%(number)d group moved.", "%(number)d groups moved.", moved)
    messages.success(request, words % {"number": moved})
    return ""
