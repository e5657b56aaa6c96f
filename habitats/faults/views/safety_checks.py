"""A safety check of an enclosure: its points, and the condition of its parts."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods

from habitats.common.happened import Elsewhere
from habitats.common.sent import form_page, sent_with
from habitats.enclosures.models import facts
from habitats.enclosures.models.enclosures import Enclosure
from habitats.faults.forms.safety_checks import SafetyCheckForm
from habitats.faults.models.safety_checks import SafetyCheck
from habitats.people.access import member_or_403
from habitats.people.models.people import Person
from habitats.people.views.based_on import accepted, based_on, row_of
from habitats.upkeep.points import points_for
from habitats.upkeep.urgency import OUT_OF_REACH

BUILDER, FOSTER = Person.Role.BUILDER, Person.Role.FOSTER


@require_http_methods(["GET", "POST"])
@based_on(row_of(Enclosure), facts.as_built)
def check_enclosure(request: HttpRequest, code: str) -> HttpResponse:
    person, today = member_or_403(request, BUILDER, FOSTER), timezone.localdate()
    seen = Enclosure.objects.visible_to(person, today).select_related("revision")
    found = get_object_or_404(seen, code=code.upper())
    structure = found.structure()
    form = SafetyCheckForm(
        sent_with(request),
        enclosure=found,
        points=points_for(structure) if structure else (),
        components=list(found.components.with_condition().order_by("pk")),
        today=today,
    )
    if accepted(request, form):
        try:
            check = form.keep(by=person)
        except Elsewhere as reason:
            form.add_error("day", str(reason))
        else:
            messages.success(request, _saved(check))
            return redirect("enclosure", code=found.code)
    context = {"form": form, "enclosure": found, "caution": OUT_OF_REACH}
    return form_page(request, "faults/safety_check.html", **context)


def _saved(check: SafetyCheck | None) -> str:
    if check is None or not check.failed:
        return _("The safety check is saved. Thank you.")
    return ngettext(
        "The safety check is saved, and %(number)d fault is reported. Thank you.",
        "The safety check is saved, and %(number)d faults are reported. Thank you.",
        check.failed,
    ) % {"number": check.failed}
