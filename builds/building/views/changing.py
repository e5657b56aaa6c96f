"""The drawing board of an enclosure: its alteration, drawn on what stands.

The same steps as on the board of a design (``builds/designs/views/board.py``).
"""

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from builds.building.models.altering import refuse_to_alter
from builds.building.pages.change_board import ChangeBoard
from builds.common.parts import is_part, varied
from builds.common.reckonings import corner_view as seen_from
from builds.common.reckonings import sheet_pieces
from builds.designs.forms.steps import BaseForm
from builds.designs.views.board import (
    Fresh,
    changed_elsewhere,
    looking_of,
    opened,
    redone,
    refused,
    step_taken,
    undone,
)
from builds.plans.models.builds import CannotBuild
from habitats.enclosures.models.drawings import end_drawing
from habitats.enclosures.models.enclosures import Enclosure
from habitats.people.access import coordinator_or_403
from habitats.people.models.people import Person


@require_GET
def board(request: HttpRequest, code: str) -> HttpResponse:
    """What stands, or what was drawn on it so far."""
    person = coordinator_or_403(request)
    enclosure = _enclosure(person, code)
    try:
        refuse_to_alter(enclosure)
    except CannotBuild as reason:
        messages.error(request, str(reason))
        return redirect("enclosure", code=enclosure.code)
    return opened(request, _fresh(request, person, code))


@require_POST
def step(request: HttpRequest, code: str, step: str) -> HttpResponse:
    person = coordinator_or_403(request)
    return step_taken(request, step, _fresh(request, person, code))


@require_POST
def undo(request: HttpRequest, code: str) -> HttpResponse:
    person = coordinator_or_403(request)
    fresh = _fresh(request, person, code)
    return _not_altered(request, person, code) or undone(request, fresh)


@require_POST
def redo(request: HttpRequest, code: str) -> HttpResponse:
    person = coordinator_or_403(request)
    fresh = _fresh(request, person, code)
    return _not_altered(request, person, code) or redone(request, fresh)


@require_POST
def start_again(request: HttpRequest, code: str) -> HttpResponse:
    """From what stands now; what was drawn stays to be read, and may be copied as a design."""
    person = coordinator_or_403(request)
    if answer := _not_altered(request, person, code):
        return answer
    enclosure = _enclosure(person, code)
    page = ChangeBoard(enclosure, person, looking_of(request))
    if BaseForm(request.POST).is_behind(page.base):
        return changed_elsewhere(request, _fresh(request, person, code))
    ended = end_drawing(enclosure)
    if ended is not None:
        messages.success(
            request,
            _("You draw on the enclosure as it stands. The earlier drawing is kept as %(code)s.")
            % {"code": ended.code},
        )
    return redirect("builds:change_enclosure", code=enclosure.code)


@require_GET
def wishes(request: HttpRequest, code: str) -> HttpResponse:
    """The usual wishes with their previews, which take a moment: they come after the board."""
    person = coordinator_or_403(request)
    page = ChangeBoard(_enclosure(person, code), person, looking_of(request))
    template = "building/_wishes.html" if is_part(request) else "building/change_wishes.html"
    return varied(render(request, template, {"page": page}))


@require_GET
def corner_view(request: HttpRequest, code: str) -> HttpResponse:
    """The view of a large enclosure, which comes after the board."""
    person = coordinator_or_403(request)
    page = ChangeBoard(_enclosure(person, code), person, looking_of(request))
    structure = page.outcome.structure
    if structure is None:
        raise Http404(_("There is nothing to show until the drawing can be made."))
    context = {
        "page": page,
        "corner": seen_from(structure, page.looking.corner),
        "pieces": sheet_pieces(structure),
    }
    template = "designs/_corner.html" if is_part(request) else "building/change_corner.html"
    return varied(render(request, template, context))


def _not_altered(request: HttpRequest, person: Person, code: str) -> HttpResponse | None:
    """The board with the reason why nothing is changed on it; None where it may be."""
    try:
        refuse_to_alter(_enclosure(person, code))
    except CannotBuild as reason:
        return refused(request, _fresh(request, person, code), str(reason))
    return None


def _enclosure(person: Person, code: str) -> Enclosure:
    seen = Enclosure.objects.visible_to(person, timezone.localdate()).with_shape()
    return get_object_or_404(seen, code=code.upper())


def _fresh(request: HttpRequest, person: Person, code: str) -> Fresh:
    return lambda: ChangeBoard(_enclosure(person, code), person, looking_of(request))
