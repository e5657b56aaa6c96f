"""The drawing board: one page, and one address for each step taken on it.

A step is posted, the drawing changes, and the board is made again from the start: as a part of
the page for htmx, else by a redirect to the page. What cannot be done is said beside the plan or
the field, and the drawing stays as it was.
"""

from collections.abc import Callable

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_GET, require_POST

from builds.common.parts import is_part, varied
from builds.designs.forms.all_steps import STEPS
from builds.designs.forms.steps import BaseForm, EditForm
from builds.designs.pages.board_page import BoardPage
from builds.designs.pages.board_plan import Looking
from builds.designs.pages.design_seen import design_drawn_by
from habitats.designs.models.designs import Design, Superseded
from habitats.measures import convert_lengths
from habitats.people.access import coordinator_or_403
from habitats.people.models.people import Person
from habitats.structure.edit import Moved
from habitats.structure.faults import BadDesign

CHANGED_ELSEWHERE = gettext_lazy(
    "The drawing was changed in another window meanwhile, so this step was not done. Here is the "
    "drawing as it stands now. Repeat the step if you still want it."
)


@require_GET
def board(request: HttpRequest, code: str) -> HttpResponse:
    person = coordinator_or_403(request)
    page = _page(request, person, code)
    return _answer(request, page if "corner" in request.GET else page.from_clearest_corner())


@require_POST
def step(request: HttpRequest, code: str, step: str) -> HttpResponse:
    person = coordinator_or_403(request)
    page = _page(request, person, code)
    form = _form(step, request, page)
    if not form.is_valid():
        return _answer(request, page.refusing(form), status=422)
    try:
        if page.is_behind(form):
            raise Superseded
        moved = _take(form, page.design, person)
    except Superseded:
        return _changed_elsewhere(request, person, code)
    except BadDesign as bad:
        sentence = " ".join(str(fault.sentence) for fault in bad.faults)
        form.add_error(None, convert_lengths(sentence, person.units))
        return _answer(request, page.refusing(form), status=422)
    return _done(request, page.after(form, moved))


@require_POST
def undo(request: HttpRequest, code: str) -> HttpResponse:
    person = coordinator_or_403(request)
    return _moved_along(request, person, code, Design.undo, _("Undone."))


@require_POST
def redo(request: HttpRequest, code: str) -> HttpResponse:
    person = coordinator_or_403(request)
    return _moved_along(request, person, code, Design.redo, _("Redone."))


def _moved_along(
    request: HttpRequest, person: Person, code: str, move: Callable[[Design], bool], sentence: str
) -> HttpResponse:
    meant_for = BaseForm(request.POST)
    try:
        if meant_for.is_behind(_page(request, person, code).base):
            raise Superseded
        has_moved = move(design_drawn_by(person, code))
    except Superseded:
        return _changed_elsewhere(request, person, code)
    page = _page(request, person, code)
    return _done(
        request, page.announcing(sentence if has_moved else _("There is nothing to undo or redo."))
    )


def _changed_elsewhere(request: HttpRequest, person: Person, code: str) -> HttpResponse:
    page = _page(request, person, code).telling(str(CHANGED_ELSEWHERE))
    return _answer(request, page, status=422)


def _page(request: HttpRequest, person: Person, code: str) -> BoardPage:
    """The board as it stands now, for who looks as the request says."""
    looking = Looking.read(request.POST if request.method == "POST" else request.GET)
    return BoardPage(design_drawn_by(person, code), person, looking)


def _form(step: str, request: HttpRequest, page: BoardPage) -> EditForm:
    if step not in STEPS:
        raise Http404("There is no such step.")
    return STEPS[step](request.POST, shape=page.shape, level=page.looking.level, units=page.units)


def _take(form: EditForm, design: Design, person: Person) -> Moved:
    shape = design.shape()
    moved = form.edit(shape)
    if moved.design != shape:
        design.change(moved.design, by=person, idempotency_key=form.idempotency_key)
    return moved


def _done(request: HttpRequest, page: BoardPage) -> HttpResponse:
    """The board again: the part of it for htmx, the page for others."""
    if is_part(request):
        return _answer(request, page)
    return redirect(reverse("builds:board", args=[page.design.code]) + page.looking.query)


def _answer(request: HttpRequest, page: BoardPage, status: int = 200) -> HttpResponse:
    part = is_part(request)
    template = "designs/_board.html" if part else "designs/board.html"
    return varied(render(request, template, {"page": page, "is_part": part}, status=status))
