"""A sheet of a plan as a file: SVG, DXF or PDF."""

from django.http import Http404, HttpResponse
from django.utils.translation import gettext as _

from builds.batches.paper.cards import picture_of
from builds.batches.paper.pages import sheets_page
from builds.common.cutter_files import ending_of
from builds.common.paper import Label, Print, shown
from builds.drawing.dxf import sheet_dxf
from builds.making.lying import SideUp
from builds.sheets import CuttingPlan, lies_turned
from habitats.common.pdf import pdf_from

KINDS = {"svg": "image/svg+xml", "dxf": "image/vnd.dxf"}


def sheet_file(
    plan: CuttingPlan, number: int, form: str, label: Label, how: Print, kind: str, up: SideUp
) -> HttpResponse:
    """One sheet as a file; a DXF with this side up.

    Raises ``Http404`` for a number that the plan does not have.
    """
    if not 1 <= number <= len(plan.plan.sheets):
        raise Http404(_("The plan has no such sheet."))
    name = f"{label.code}-sheet-{number}.{form}"
    if form == "pdf":
        page = sheets_page(plan, label, how, sheets=(number,), kind=kind)
        return shown(pdf_from(page), name)
    if form == "dxf":
        name = f"{label.code}-sheet-{number}{ending_of(up)}.{form}"
        return _download(_dxf(plan, number, up), name, form)
    return _download(picture_of(plan, (number,), how.lengths).encode(), name, form)


def _dxf(plan: CuttingPlan, number: int, up: SideUp) -> bytes:
    offer = plan.offer
    return sheet_dxf(
        plan.plan.sheets[number - 1],
        lambda one: (blank := plan.wanted(one.piece)[1], lies_turned(blank, one)),
        plan.name_of,
        kerf=offer.kerf,
        trim=offer.trim,
        up=up,
    )


def _download(data: bytes, name: str, form: str) -> HttpResponse:
    disposition = {"Content-Disposition": f'attachment; filename="{name}"'}
    return HttpResponse(data, content_type=KINDS[form], headers=disposition)
