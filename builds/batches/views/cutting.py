"""Cutting jobs: how far one is, its plan on the screen, on paper and as files, and its end."""

import uuid

from django.contrib import messages
from django.db import transaction
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from builds.batches import tasks
from builds.batches.forms import CutForm, LongerForm
from builds.batches.models import facts as cutting_facts
from builds.batches.models.cutting_jobs import CuttingJob
from builds.batches.models.cutting_lines import CannotCut
from builds.batches.models.cutting_runs import CuttingRun
from builds.batches.models.following import follow
from builds.batches.models.sheet_jobs import changed_builds, cut_since
from builds.batches.pages.plan_page import PlanPage, proof_of, size_in
from builds.batches.pages.sheet_files import sheet_file
from builds.batches.paper.labels import piece_stickers
from builds.batches.paper.pages import sheets_page
from builds.common.cutter_files import side_up
from builds.common.fields import OnceForm
from builds.common.paper import Label, label_for, print_of, shown
from builds.common.parts import is_part, led_on, varied
from builds.sheets import CuttingPlan
from builds.store.models.holders import ReservedFor
from builds.store.models.movements import NotEnough
from builds.store.paper import labels, sticker_of
from habitats.common.pdf import pdf_from
from habitats.common.shared_clock import shared_now
from habitats.money import money
from habitats.people.access import coordinator_or_403, member_or_403
from habitats.people.models.people import Person
from habitats.people.views.based_on import based_on, refuse_if_changed, row_of
from habitats.rescue.models.rescue import Rescue
from habitats.server.workers import TaskWorker

KIND = "job"
UNPROCESSABLE, CONFLICT = 422, 409


@require_GET
def cutting(request: HttpRequest, code: str) -> HttpResponse:
    person = member_or_403(request, Person.Role.BUILDER)
    return _page(request, person, _job(person, code))


@require_GET
def progress(request: HttpRequest, code: str) -> HttpResponse:
    """How far the search is: a part of the job's page, which is loaded anew when it has ended."""
    person = member_or_403(request, Person.Role.BUILDER)
    job = _job(person, code)
    if not is_part(request):
        return varied(redirect("builds:cutting", code=job.code))
    if job.state != CuttingJob.State.RUNNING:
        return led_on(request, "progress", reverse("builds:cutting", args=[job.code]))
    context = {"job": job, "progress": _progress(job)}
    return varied(render(request, "batches/_progress.html", context))


@require_POST
def stop(request: HttpRequest, code: str) -> HttpResponse:
    """Ask the search to stop; its best plan is kept."""
    person = coordinator_or_403(request)
    job = _job(person, code)
    run = job.live_run()
    if run:
        run.ask_to_stop()
    return redirect("builds:cutting", code=job.code)


@require_POST
def search_on(request: HttpRequest, code: str) -> HttpResponse:
    """Search again, for longer: the better of the plans is kept."""
    person = coordinator_or_403(request)
    job = _job(person, code)
    form = LongerForm(request.POST)
    try:
        # Said first: the page of such a job has no field that a fault could stand beside.
        job.refuse_ended()
        if not form.is_valid():
            return _page(request, person, job, longer=form)
        tasks.begin(job, form.cleaned_data["seconds"])
    except CannotCut as reason:
        messages.error(request, str(reason))
    return redirect("builds:cutting", code=job.code)


@require_POST
@based_on(row_of(CuttingJob), cutting_facts.job_now)
def drop(request: HttpRequest, code: str) -> HttpResponse:
    person = coordinator_or_403(request)
    refuse_if_changed(request)
    job = _job(person, code)
    form = OnceForm(request.POST)
    try:
        once = form.cleaned_data["once"] if form.is_valid() else None
        with transaction.atomic():
            job.drop(by=person, idempotency_key=once)
            follow(job, by=person)
        messages.success(request, _("Job cancelled. Its offcuts are free for other plans."))
    except CannotCut as reason:
        messages.error(request, str(reason))
    return redirect("builds:cutting", code=job.code)


@require_http_methods(["GET", "POST"])
def mark_cut(request: HttpRequest, code: str) -> HttpResponse:
    """Say that the plan was cut, and which offcuts are kept where."""
    person = member_or_403(request, Person.Role.BUILDER)
    job = _job(person, code)
    run = job.best_run()
    if run is None or job.state == CuttingJob.State.RUNNING:
        messages.error(request, _("There is no plan to cut yet."))
        return redirect("builds:cutting", code=job.code)
    sent = request.POST if request.method == "POST" else None
    if sent is None and job.end_or_none():
        return redirect("builds:cutting", code=job.code)
    plan = run.found()
    page = _plan_page(job, plan, person)
    form = CutForm(sent, kept=plan.offcuts_to_keep, stock=page.store.stock, initial={"run": run.pk})
    if sent is None or not form.is_valid():
        refused = CONFLICT if form.is_stale else UNPROCESSABLE
        return _cut_page(request, job, page, form, refused if sent is not None else 200)
    if form.cleaned_data["run"] != run.pk:
        messages.error(
            request, _("A better plan was found meanwhile. Check that it is the one you cut.")
        )
        return redirect("builds:cutting", code=job.code)
    try:
        lost = _cut_as_planned(job, run, form, person)
    except (CannotCut, NotEnough) as reason:
        form.add_error(None, str(reason))
        return _cut_page(request, job, page, form, CONFLICT)
    for one in lost:
        messages.warning(request, _lost(one))
    messages.success(
        request, _("Marked as cut. The store is updated. Put the labels on the offcuts you keep.")
    )
    return redirect("builds:cutting", code=job.code)


@require_GET
def build(request: HttpRequest, code: str, number: int) -> HttpResponse:
    person = member_or_403(request, Person.Role.BUILDER)
    job = _job(person, code)
    found = PlanPage(_plan(job), person.units).build(number)
    if found is None:
        raise Http404(_("The job has no such build."))
    return render(request, "batches/build.html", {"job": job, "build": found})


@require_GET
def sheets_pdf(request: HttpRequest, code: str) -> HttpResponse:
    person = member_or_403(request, Person.Role.BUILDER)
    job = _job(person, code)
    page = sheets_page(_plan(job), _label(request, job), print_of(person, request.GET))
    return shown(pdf_from(page), f"sheets-{job.code}.pdf")


@require_GET
def job_sheet_file(request: HttpRequest, code: str, number: str, form: str) -> HttpResponse:
    person = member_or_403(request, Person.Role.BUILDER)
    job = _job(person, code)
    how = print_of(person, request.GET)
    up = side_up(request.GET)
    return sheet_file(_plan(job), int(number), form, _label(request, job), how, KIND, up)


@require_GET
def labels_pdf(request: HttpRequest, code: str) -> HttpResponse:
    """Labels for the pieces."""
    person = member_or_403(request, Person.Role.BUILDER)
    job = _job(person, code)
    how = print_of(person, request.GET)
    stickers = piece_stickers(_plan(job), job.code, how.lengths)
    return labels(
        stickers, _("Labels: %(batch)s") % {"batch": job.batch.name}, how, f"labels-{job.code}.pdf"
    )


@require_GET
def offcut_labels_pdf(request: HttpRequest, code: str) -> HttpResponse:
    """Labels for the offcuts that the job left and that are still in the store."""
    person = member_or_403(request, Person.Role.BUILDER)
    job = _job(person, code)
    how = print_of(person, request.GET)
    offcuts = job.offcuts.in_store().with_place().select_related("kind").largest_first()
    return labels(
        [sticker_of(one, how.units) for one in offcuts],
        _("Offcuts: %(batch)s") % {"batch": job.batch.name},
        how,
        f"offcuts-{job.code}.pdf",
    )


def _job(person: Person, code: str) -> CuttingJob:
    return get_object_or_404(CuttingJob.objects.visible_to(person).with_state(), code=code.upper())


def _plan(job: CuttingJob) -> CuttingPlan:
    plan = job.plan()
    if plan is None:
        raise Http404(_("This job has no plan yet."))
    return plan


def _label(request: HttpRequest, job: CuttingJob) -> Label:
    path = reverse("builds:cutting", args=[job.code])
    return label_for(request, job.batch.name, job.code, path)


def _page(
    request: HttpRequest, person: Person, job: CuttingJob, *, longer: LongerForm | None = None
) -> HttpResponse:
    plan = job.plan()
    latest = job.latest_run()
    number = request.GET.get("page", "1")
    is_running = job.state == CuttingJob.State.RUNNING
    is_over = job.end_or_none() is not None
    shown_plan = _plan_page(job, plan, person, number) if plan and not is_running else None
    context = {
        "job": job,
        "state": CuttingJob.State(job.state),
        "ending": job.end_or_none(),
        "page": shown_plan,
        "progress": _progress(job) if is_running else None,
        "how": _how(latest),
        "longer": longer or LongerForm(initial={"seconds": "30"}),
        "offcuts": _offcut_rows(job, person.units),
        "once": uuid.uuid4(),
        "files": reverse("builds:cutting", args=[job.code]) + "sheets/",
        "cut_since": None if is_over else cut_since(job),
        "changed": [] if is_over else changed_builds(job),
    }
    return render(request, "batches/job.html", context, status=UNPROCESSABLE if longer else 200)


def _progress(job: CuttingJob) -> dict[str, object]:
    """How far the search is, and the best plan of all runs so far."""
    run = job.live_run()
    assert run is not None, "asked only while the job is being worked out"
    plan = job.plan()
    currency = Rescue.our_currency()
    spent = (shared_now() - run.started_at).total_seconds()
    return {
        "run": run,
        "is_nobody_there": run.is_queued and not TaskWorker.is_there(shared_now()),
        "seconds": f"{run.seconds:g}",
        "spent": f"{min(spent, run.seconds):.0f}",
        "cost": money(plan.plan.cost, currency) if plan else "",
        "sheets": len(plan.plan.sheets) if plan else 0,
        "missing": sum(one.quantity for one in plan.missing) if plan else 0,
        "proof": proof_of(plan, currency) if plan else "",
    }


def _how(run: CuttingRun | None) -> str:
    """How the latest search ended, in a sentence; empty while there is none."""
    if run is None:
        return ""
    found = (
        _("The best plan found so far is saved.") if run.plan else _("The search found no plan.")
    )
    ended = {
        CuttingRun.How.STOPPED: _("The search was stopped."),
        CuttingRun.How.LOST: _("The search stopped when the server was restarted."),
        CuttingRun.How.FAILED: _("The search failed. The log of the server says why."),
    }.get(CuttingRun.How(run.how or run.how_now(shared_now()) or CuttingRun.How.FINISHED))
    return f"{ended} {found}" if ended else ""


def _offcut_rows(job: CuttingJob, units: str) -> list[dict[str, str]]:
    if job.end_or_none() is None:
        return []
    return [
        {
            "label": one.label,
            "size": size_in(one.width_mm, one.height_mm, units),
            "place": str(one.place or ""),
        }
        for one in job.offcuts.with_place().largest_first()
    ]


def _plan_page(job: CuttingJob, plan: CuttingPlan, person: Person, number: str = "1") -> PlanPage:
    """The plan with what the store has for it; without, once it is cut or given up."""
    if job.end_or_none():
        return PlanPage(plan, person.units, number=number, is_over=True)
    own = list(job.own_builds().values_list("pk", flat=True))
    return PlanPage(plan, person.units, number=number, builds=own, since=job.made_at)


def _cut_as_planned(
    job: CuttingJob, run: CuttingRun, form: CutForm, by: Person
) -> list[ReservedFor]:
    """In one go: nobody ticks a piece between the cutting and the plan that is told by it."""
    with transaction.atomic():
        lost = job.mark_cut(
            run,
            form.places(),
            by=by,
            idempotency_key=form.cleaned_data["once"],
            even_reserved=form.even_reserved,
        )
        follow(job, by=by)
    return lost


def _lost(lost: ReservedFor) -> str:
    """Who is short now of sheets that were cut."""
    if lost.build is None:
        return ngettext(
            "%(count)d sheet that was reserved for another purpose was cut too.",
            "%(count)d sheets that were reserved for another purpose were cut too.",
            lost.count,
        ) % {"count": lost.count}
    return ngettext(
        "%(count)d sheet that was reserved for build %(code)s, %(build)s, was cut too. The build "
        "needs it again.",
        "%(count)d sheets that were reserved for build %(code)s, %(build)s, were cut too. The "
        "build needs them again.",
        lost.count,
    ) % {"count": lost.count, "code": lost.build.code, "build": lost.build}


def _cut_page(
    request: HttpRequest, job: CuttingJob, page: PlanPage, form: CutForm, status: int
) -> HttpResponse:
    kept = list(zip(page.offcuts, form.offcuts(), strict=True))
    context = {
        "job": job,
        "form": form,
        "page": page,
        "kept": kept,
        "cut_since": cut_since(job),
        "changed": changed_builds(job),
    }
    return render(request, "batches/mark_cut.html", context, status=status)
