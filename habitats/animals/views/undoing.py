"""A wrong move, intake or departure is undone."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from habitats.animals.forms.undoing import UndoForm
from habitats.animals.models.acts import Act
from habitats.animals.models.undoing import CannotUndo, hindrance_to, undo
from habitats.animals.pages.acts import act_words
from habitats.animals.views.at_the_door import at_the_door
from habitats.common.happened import Elsewhere
from habitats.common.sent import form_page, sent_with
from habitats.people.access import coordinator_or_403
from habitats.people.models.people import Person


@require_http_methods(["GET", "POST"])
def undo_act(request: HttpRequest, pk: int) -> HttpResponse:
    """What it was, what stands against undoing it, or the form that does it."""
    person = coordinator_or_403(request)
    act = get_object_or_404(Act.objects.with_parts(), pk=pk)
    back = _page_of(act)
    form = UndoForm(sent_with(request))
    if form.is_bound and form.is_valid() and _undone(request, form, act, person):
        messages.success(request, _("Undone: %(what)s.") % {"what": act_words(act)})
        return redirect(back[0], back[1])
    context = {
        "form": form,
        "act": act,
        "words": act_words(act),
        "hindrance": hindrance_to(act),
        "undone": getattr(act, "undone", None),
        "back": back,
    }
    return form_page(request, "animals/undo.html", **context)


def _undone(request: HttpRequest, form: UndoForm, act: Act, by: Person) -> bool:
    given = form.cleaned_data
    try:
        with at_the_door(request):
            undo(act, given["why"], by=by, idempotency_key=given["once"])
    except CannotUndo as cannot:
        form.add_error(None, cannot.hindrance.sentence)
        return False
    except Elsewhere as reason:
        form.add_error(None, str(reason))
        return False
    return True


def _page_of(act: Act) -> tuple[str, str]:
    """Where its history is shown: the name of the page, and the code."""
    if act.animal is not None:
        return "animal", act.animal.code
    for part in act.parts.all():
        if part.membership:
            return "animal", part.membership.animal.code
        if part.stay:
            return "group", part.stay.group.code
        if part.standing:
            return "enclosure", part.standing.enclosure.code
    return "animals", ""
