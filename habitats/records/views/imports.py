"""CSV in: hand a file in, see what it would do and every fault with its place, then decide."""

import uuid
from collections.abc import Iterator, Sequence
from typing import Any, NamedTuple

from django.contrib import messages
from django.db import IntegrityError
from django.http import Http404, HttpRequest, HttpResponse, StreamingHttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from habitats.csv_cells import csv_lines
from habitats.imports import KINDS, ImportFault, Unreadable, template
from habitats.people.access import coordinator_or_403
from habitats.records.forms.imports import HandInForm, TakeInForm
from habitats.records.models.import_files import ImportFile
from habitats.records.models.imports import HasFaults, dry_run, take_in
from habitats.records.pages.imports import new_rows

UNPROCESSABLE = 422
FAULTS_SHOWN, FILES_SHOWN, ROWS_SHOWN = 200, 20, 50
CSV = "text/csv; charset=utf-8"
COLUMNS = ("line", "column", "given", "what_to_do")
FAULTY = gettext_lazy("The file has faults. Correct them, or skip the rows that have faults.")
CHANGED = gettext_lazy(
    "Another person recorded something from this file at the same moment. Check what the file "
    "would change now, and decide again."
)


class Next(NamedTuple):
    """Where people go on, once a file of a kind is imported."""

    label: Promise
    address: str


NEXT = {
    "homes": Next(gettext_lazy("Show homes"), "homes"),
    "contacts": Next(gettext_lazy("Show homes"), "homes"),
    "people": Next(gettext_lazy("Give first passwords"), "people"),
    "enclosures": Next(gettext_lazy("Show Space"), "space"),
    "animals": Next(gettext_lazy("Show animals"), "animals"),
    "weights": Next(gettext_lazy("Show animals"), "animals"),
    "linens": Next(gettext_lazy("Show linens"), "linens"),
    "items": Next(gettext_lazy("Show the store"), "builds:store"),
}


@require_http_methods(["GET", "POST"])
def import_csv(request: HttpRequest) -> HttpResponse:
    person = coordinator_or_403(request)
    is_sent = request.method == "POST"
    sent = (request.POST, request.FILES) if is_sent else ()
    form = HandInForm(*sent, today=timezone.localdate(), initial={"kind": request.GET.get("kind")})
    if is_sent and form.is_valid():
        return redirect("import_check", once=form.hand_in(by=person).idempotency_key)
    files = ImportFile.objects.select_related("made_by").defer("content", "skipped").latest_first()
    context = {
        "form": form,
        "kinds": KINDS.values(),
        "kind_open": form["kind"].value() or next(iter(KINDS)),
        "waiting": files.waiting()[:FILES_SHOWN],
        "taken": files.taken()[:FILES_SHOWN],
    }
    return render(request, "records/import.html", context, status=UNPROCESSABLE if is_sent else 200)


@require_GET
def import_template(request: HttpRequest, kind: str) -> StreamingHttpResponse:
    coordinator_or_403(request)
    if kind not in KINDS:
        raise Http404(_("There is no template for that."))
    return _csv(template(KINDS[kind]), kind)


@require_http_methods(["GET", "POST"])
def import_check(request: HttpRequest, once: uuid.UUID) -> HttpResponse:
    """The dry run of a file that waits, or what came of one that was taken in."""
    person = coordinator_or_403(request)
    file = get_object_or_404(ImportFile, idempotency_key=once)
    if request.method == "GET" or file.is_taken:
        return _check_page(request, file)
    form = TakeInForm(request.POST)
    if not form.is_valid():
        return _check_page(request, file, refused=str(form.errors["how"][0]))
    try:
        file = take_in(file, skip=form.skips, by=person, today=timezone.localdate())
    except (HasFaults, IntegrityError, Unreadable) as fault:
        return _check_page(request, file, refused=_sentence(fault))
    messages.success(
        request, _("%(file)s imported: %(new)d new.") % {"file": file.name, "new": file.made}
    )
    return redirect("import_check", once=file.idempotency_key)


@require_GET
def import_faults(request: HttpRequest, once: uuid.UUID) -> StreamingHttpResponse:
    """Every fault: of a file that waits, or of the rows that were left out."""
    coordinator_or_403(request)
    file = get_object_or_404(ImportFile, idempotency_key=once)
    try:
        faults = _faults(file)
    except Unreadable as fault:
        faults = [ImportFault(0, "", file.name, str(fault))]
    # Said now: while the file is sent, its reader is forgotten.
    rows = [(fault.line or "", fault.column, fault.given, str(fault.sentence)) for fault in faults]
    return _csv(csv_lines([COLUMNS, *rows]), f"faults-{file.kind}")


@require_POST
def drop_import(request: HttpRequest, once: uuid.UUID) -> HttpResponse:
    """Throw away a file that waits; what was taken in stays."""
    coordinator_or_403(request)
    file = get_object_or_404(ImportFile, idempotency_key=once)
    if not file.is_taken:
        file.delete()
        messages.success(
            request, _("%(file)s deleted. Nothing of it was imported.") % {"file": file.name}
        )
    return redirect("import_csv")


def _check_page(request: HttpRequest, file: ImportFile, refused: str = "") -> HttpResponse:
    context: dict[str, Any] = {"file": file, "kind": KINDS[file.kind], "refused": refused}
    if file.is_taken:
        context["faults"] = _faults(file)[:FAULTS_SHOWN]
        context |= {"total": len(file.skipped), "then": NEXT[file.kind]}
        return render(request, "records/taken.html", context)
    try:
        plan = dry_run(bytes(file.content), file.kind, timezone.localdate())
    except Unreadable as fault:
        context["refused"] = str(fault)
        return render(request, "records/check.html", context, status=UNPROCESSABLE)
    context |= {"plan": plan, "faults": plan.faults[:FAULTS_SHOWN], "total": len(plan.faults)}
    context |= {
        "doubts": plan.doubts[:FAULTS_SHOWN],
        "rows": new_rows(plan.new[:ROWS_SHOWN], context["kind"]),
    }
    status = UNPROCESSABLE if refused else 200
    return render(request, "records/check.html", context, status=status)


def _faults(file: ImportFile) -> Sequence[ImportFault]:
    if file.is_taken:
        return file.faults
    return dry_run(bytes(file.content), file.kind, timezone.localdate()).faults


def _sentence(fault: Exception) -> str:
    if isinstance(fault, HasFaults):
        return str(FAULTY)
    return str(CHANGED if isinstance(fault, IntegrityError) else fault)


def _csv(lines: Iterator[str], name: str) -> StreamingHttpResponse:
    headers = {"Content-Disposition": f'attachment; filename="{name}.csv"'}
    return StreamingHttpResponse(lines, content_type=CSV, headers=headers)
