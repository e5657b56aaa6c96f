"""Batches: builds that are cut together."""

import uuid

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from builds.batches import tasks
from builds.batches.forms import AddBuildsForm, BatchForm, LineForm, OfferForm
from builds.batches.models import facts as cutting_facts
from builds.batches.models.batches import Batch, BatchLine
from builds.batches.models.cutting_jobs import CuttingJob
from builds.batches.models.cutting_lines import CannotCut
from builds.batches.models.sheet_jobs import cut_of_lines
from builds.sheets import offer_document
from builds.store.models.sheets import SheetKind
from habitats.people.access import coordinator_or_403, member_or_403
from habitats.people.models.people import Person
from habitats.people.views.based_on import accepted, based_on, row_of

UNPROCESSABLE = 422


@require_GET
def batches(request: HttpRequest) -> HttpResponse:
    person = member_or_403(request, Person.Role.BUILDER)
    context = {
        "batches": Batch.objects.visible_to(person).with_counts().newest_first(),
        "jobs": CuttingJob.objects.visible_to(person).to_cut().with_state().newest_first(),
    }
    return render(request, "batches/batches.html", context)


@require_http_methods(["GET", "POST"])
def new_batch(request: HttpRequest) -> HttpResponse:
    person = coordinator_or_403(request)
    sent = request.POST if request.method == "POST" else None
    form = BatchForm(sent, initial={"once": uuid.uuid4()})
    if sent is not None and form.is_valid():
        try:
            batch = form.begin(by=person)
        except CannotCut as reason:
            form.add_error("builds", str(reason))
        else:
            return redirect("builds:batch", code=batch.code)
    status = UNPROCESSABLE if form.errors else 200
    return render(request, "batches/new_batch.html", {"form": form}, status=status)


@require_GET
def batch(request: HttpRequest, code: str) -> HttpResponse:
    person = member_or_403(request, Person.Role.BUILDER)
    return _page(request, person, _batch(person, code))


@require_POST
def add_line(request: HttpRequest, code: str) -> HttpResponse:
    person = coordinator_or_403(request)
    batch = _batch(person, code)
    form = LineForm(request.POST, person=person)
    if not form.is_valid():
        return _page(request, person, batch, line=form)
    given = form.cleaned_data
    try:
        batch.add(given["design"], given["count"], given["who_for"], idempotency_key=given["once"])
    except CannotCut as reason:
        form.add_error("count", str(reason))
        return _page(request, person, batch, line=form)
    return redirect("builds:batch", code=batch.code)


@require_POST
def add_builds(request: HttpRequest, code: str) -> HttpResponse:
    """Planned builds join the batch."""
    person = coordinator_or_403(request)
    batch = _batch(person, code)
    form = AddBuildsForm(request.POST)
    if form.is_valid():
        given = form.cleaned_data
        try:
            batch.add_builds(given["builds"], idempotency_key=given["once"])
        except CannotCut as reason:
            form.add_error("builds", str(reason))
        else:
            return redirect("builds:batch", code=batch.code)
    return _page(request, person, batch, adding=form)


@require_POST
def remove_line(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    person = coordinator_or_403(request)
    batch = _batch(person, code)
    try:
        batch.take_out(pk)
    except CannotCut as reason:
        messages.error(request, str(reason))
    return redirect("builds:batch", code=batch.code)


@require_POST
@based_on(row_of(Batch), cutting_facts.lines_of, is_long=True)
def plan_batch(request: HttpRequest, code: str) -> HttpResponse:
    """A job to cut what the batch asks for, worked out at once or beside the pages."""
    person = coordinator_or_403(request)
    batch = _batch(person, code)
    form = OfferForm(request.POST, units=person.units, batch=batch)
    if not accepted(request, form):
        return _page(request, person, batch, offer=form)
    try:
        job = batch.job(
            offer_document(form.offer()), by=person, idempotency_key=form.cleaned_data["once"]
        )
        if not job.runs.exists():
            tasks.begin(job, form.cleaned_data["seconds"])
    except CannotCut as reason:
        messages.error(request, str(reason))
        return redirect("builds:batch", code=batch.code)
    return redirect("builds:cutting", code=job.code)


def _batch(person: Person, code: str) -> Batch:
    return get_object_or_404(Batch.objects.visible_to(person), code=code.upper())


def _page(
    request: HttpRequest,
    person: Person,
    batch: Batch,
    *,
    line: LineForm | None = None,
    offer: OfferForm | None = None,
    adding: AddBuildsForm | None = None,
) -> HttpResponse:
    lines = list(BatchLine.objects.of_batch(batch))
    cut = cut_of_lines(batch.pk)
    context = {
        "batch": batch,
        "lines": [(one, cut[one.pk]) for one in lines],
        "is_cut": any(cut.values()),
        "builds": sum(one.count for one in lines),
        "jobs": batch.jobs.with_state().newest_first(),
        "line": line or LineForm(person=person, initial={"once": uuid.uuid4()}),
        "offer": offer
        or OfferForm(units=person.units, batch=batch, initial={"once": uuid.uuid4()}),
        "adding": adding or AddBuildsForm(initial={"once": uuid.uuid4()}),
        "has_kinds": SheetKind.objects.live().exists(),
    }
    status = UNPROCESSABLE if line or offer or adding else 200
    return render(request, "batches/batch.html", context, status=status)
