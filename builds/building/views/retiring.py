"""Retiring an enclosure: how it is taken down, and which parts are counted into the store."""

from functools import cached_property, partial
from typing import NamedTuple

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from builds.building.forms.altering import RetireForm, offcut_words
from builds.building.models import retiring
from builds.building.models.retiring import (
    CannotRetire,
    hindrance,
    linens_in,
    parts_back,
    taken_back,
)
from builds.common.pace import our_pace
from builds.drawing.altering import taking_step_picture, taking_views
from builds.making.altering.retire import Retirement, retire
from builds.making.pace import KIND_OF
from builds.making.step import Step
from builds.plans.models.build_plans import sheet_of_enclosure
from builds.plans.models.learning import relearn
from habitats import measures
from habitats.common.happened import Elsewhere
from habitats.common.sent import form_page, sent_with
from habitats.enclosures.models import facts
from habitats.enclosures.models.enclosures import Enclosure
from habitats.people.access import coordinator_or_403
from habitats.people.models.people import Person
from habitats.people.views.based_on import accepted, based_on, row_of
from habitats.structure.structure import Structure


@require_http_methods(["GET", "POST"])
@based_on(row_of(Enclosure), facts.all_of)
def retire_enclosure(request: HttpRequest, code: str) -> HttpResponse:
    """What it gives back and how; posted, it is counted in and the enclosure is retired."""
    person, today = coordinator_or_403(request), timezone.localdate()
    seen = Enclosure.objects.visible_to(person, today).with_state().with_shape()
    enclosure = get_object_or_404(seen, code=code.upper())
    structure = enclosure.structure()
    if structure is None:
        return form_page(request, "building/retire.html", enclosure=enclosure)
    page = RetiringPage(enclosure, structure, person)
    form = RetireForm(
        sent_with(request),
        parts=page.parts,
        offcuts=page.retirement.offcuts,
        today=today,
        units=person.units,
    )
    if accepted(request, form) and _is_retired(enclosure, form, page, person):
        messages.success(
            request,
            _("%(enclosure)s is retired. The parts returned are listed here.")
            % {"enclosure": enclosure},
        )
        return redirect("builds:retire_enclosure", code=enclosure.code)
    return form_page(request, "building/retire.html", enclosure=enclosure, page=page, form=form)


def _is_retired(
    enclosure: Enclosure, form: RetireForm, page: "RetiringPage", person: Person
) -> bool:
    given = form.cleaned_data
    try:
        retiring.retire_enclosure(
            enclosure,
            form.counted(),
            form.kept(),
            on=given["on"],
            by=person,
            work=form.work(page.table_minutes),
            idempotency_key=given["once"],
        )
    except CannotRetire as reason:
        form.add_error(None, str(reason))
    except Elsewhere as reason:
        form.add_error("on", str(reason))
    else:
        relearn()
    return not form.errors


class ShownStep(NamedTuple):
    """``picture`` is empty for the last step, when nothing stands any more."""

    number: int
    step: Step
    picture: str


class RetiringPage:
    """What the page shows of an enclosure that is to be retired, or was."""

    def __init__(self, enclosure: Enclosure, structure: Structure, person: Person) -> None:
        self.enclosure, self.structure, self.units = enclosure, structure, person.units
        lengths = partial(measures.length, units=person.units)
        self.retirement: Retirement = retire(
            structure, sheet=sheet_of_enclosure(enclosure), lengths=lengths
        )
        self.parts = parts_back(structure.design.panel, self.retirement)
        self.hindrance = hindrance(enclosure)
        self.taken_back = taken_back(enclosure, self.retirement)

    @property
    def table_minutes(self) -> int:
        """What the table of times says of the work that is alike in it: the taking down."""
        return sum(one.minutes for one in self.retirement.steps if one.task in KIND_OF)

    @property
    def minutes(self) -> int:
        """All steps together."""
        return sum(one.minutes for one in self._paced)

    @cached_property
    def _paced(self) -> tuple[Step, ...]:
        """With the times that we take for such work."""
        return our_pace().steps(self.retirement.steps)

    @cached_property
    def steps(self) -> list[ShownStep]:
        steps = self._paced
        last = len(steps) - 1
        views = taking_views(self.structure, steps)
        return [
            ShownStep(
                number + 1,
                step,
                taking_step_picture(self.structure, steps, number, views) if number < last else "",
            )
            for number, step in enumerate(steps)
        ]

    @cached_property
    def linens(self) -> list[str]:
        """Those that lie in it now."""
        return [f"{linen}, {linen.spot}" for linen in linens_in(self.enclosure)]

    @property
    def offcuts(self) -> list[str]:
        """The pieces that can be cut out of its trays."""
        pieces = self.retirement.offcuts
        return [offcut_words(one, self.units) for one in pieces]

    @property
    def kept(self) -> list[tuple[str, str, str]]:
        """Of each offcut kept: its label, its size, and where it lies, empty if nobody said."""
        kept = self.taken_back.offcuts if self.taken_back else ()
        lengths = measures.lengths_in(self.units)
        return [
            (one.label, measures.size((one.width_mm, one.height_mm), lengths), str(one.place or ""))
            for one in kept
        ]
