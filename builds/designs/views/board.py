"""The drawing board: one page, and one address for each step taken on it.

A step is posted, the drawing changes, and the board is made again from the start: as a part of
the page for htmx, else by a redirect to the page. What cannot be done is said beside the plan or
the field, and the drawing stays as it was. ``Fresh`` reads it again, as it stands now.
"""

from collections.abc import Callable

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_GET, require_POST

from builds.common.parts import is_part, varied
from builds.designs.forms.steps import BaseForm, EditForm
from builds.designs.pages.board_page import BoardPage
from builds.designs.pages.board_plan import Looking
from builds.designs.pages.design_seen import design_drawn_by
from habitats.designs.models.designs import Design, Superseded
from habitats.measures import convert_lengths
from habitats.people.access import coordinator_or_403
from habitats.structure.faults import BadDesign

Fresh = Callable[[], BoardPage]

CHANGED_ELSEWHERE = gettext_lazy(
    "The drawing was changed in another window meanwhile, so this step was not done. Here is the "
    "drawing as it stands now. Repeat the step if you still want it."
)


@require_GET
def board(request: HttpRequest, code: str) -> HttpResponse:
    return opened(request, _fresh(request, code))


@require_POST
def step(request: HttpRequest, code: str, step: str) -> HttpResponse:
    return step_taken(request, step, _fresh(request, code))


@require_POST
def undo(request: HttpRequest, code: str) -> HttpResponse:
    return undone(request, _fresh(request, code))


@require_POST
def redo(request: HttpRequest, code: str) -> HttpResponse:
    return redone(request, _fresh(request, code))


def _fresh(request: HttpRequest, code: str) -> Fresh:
    """For coordinators alone."""
    person = coordinator_or_403(request)
    return lambda: BoardPage(design_drawn_by(person, code), person, looking_of(request))


# --- The same for any board ---


def looking_of(request: HttpRequest) -> Looking:
    """Where the request says that one looks."""
    return Looking.read(request.POST if request.method == "POST" else request.GET)


def opened(request: HttpRequest, fresh: Fresh) -> HttpResponse:
    page = fresh()
    return _answer(request, page if "corner" in request.GET else page.from_clearest_corner())


def step_taken(request: HttpRequest, step: str, fresh: Fresh) -> HttpResponse:
    page = fresh()
    form = _form(step, request, page)
    if not form.is_valid():
        return _answer(request, page.refusing(form), status=422)
    try:
        if page.is_behind(form):
            raise Superseded
        moved = page.take(form)
    except Superseded:
        return changed_elsewhere(request, fresh)
    except BadDesign as bad:
        sentence = " ".join(str(fault.sentence) for fault in bad.faults)
        form.add_error(None, convert_lengths(sentence, page.units))
        return _answer(request, page.refusing(form), status=422)
    return _done(request, page.after(form, moved))


def undone(request: HttpRequest, fresh: Fresh) -> HttpResponse:
    return _moved_along(request, fresh, Design.undo, _("Undone."))


def redone(request: HttpRequest, fresh: Fresh) -> HttpResponse:
    return _moved_along(request, fresh, Design.redo, _("Redone."))


def _moved_along(
    request: HttpRequest, fresh: Fresh, move: Callable[[Design], bool], sentence: str
) -> HttpResponse:
    meant_for, page = BaseForm(request.POST), fresh()
    try:
        if meant_for.is_behind(page.base):
            raise Superseded
        has_moved = page.is_kept and move(page.design)
    except Superseded:
        return changed_elsewhere(request, fresh)
    told = sentence if has_moved else _("There is nothing to undo or redo.")
    return _done(request, fresh().announcing(told))


def changed_elsewhere(request: HttpRequest, fresh: Fresh) -> HttpResponse:
    return refused(request, fresh, str(CHANGED_ELSEWHERE))


def refused(request: HttpRequest, fresh: Fresh, why: str) -> HttpResponse:
    return _answer(request, fresh().telling(why), status=422)


def _form(step: str, request: HttpRequest, page: BoardPage) -> EditForm:
    if step not in page.known_steps:
        raise Http404("There is no such step.")
    return page.known_steps[step](
        request.POST, shape=page.shape, level=page.looking.level, units=page.units
    )


def _done(request: HttpRequest, page: BoardPage) -> HttpResponse:
    """The board again: the part of it for htmx, the page for others."""
    if is_part(request):
        return _answer(request, page)
    return redirect(page.address + page.looking.query)


def _answer(request: HttpRequest, page: BoardPage, status: int = 200) -> HttpResponse:
    template = "designs/_board.html" if is_part(request) else "designs/board.html"
    context = {"page": page, "is_part": is_part(request)}
    return varied(render(request, template, context, status=status))
