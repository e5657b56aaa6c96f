"""Homes, enclosures, animals, designs and linens out, in one archive."""

from collections.abc import Iterator
from tempfile import TemporaryFile

from django.http import HttpRequest, HttpResponse, StreamingHttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from habitats.people.access import coordinator_or_403
from habitats.people.models.access_events import AccessEvent, note
from habitats.records.models.exports import NOT_IN_IT, TABLES, write_archive
from habitats.wording import listed

CHUNK = 64 * 1024


@require_GET
def export(request: HttpRequest) -> HttpResponse:
    coordinator_or_403(request)
    return render(
        request, "records/export.html", {"tables": TABLES, "not_in_it": listed(NOT_IN_IT)}
    )


@require_GET
def export_zip(request: HttpRequest) -> StreamingHttpResponse:
    person = coordinator_or_403(request)
    note(AccessEvent.Kind.EXPORTED, person, request)
    name = f"habitats-{timezone.localdate().isoformat()}.zip"
    headers = {"Content-Disposition": f'attachment; filename="{name}"'}
    return StreamingHttpResponse(_archive(), content_type="application/zip", headers=headers)


def _archive() -> Iterator[bytes]:
    """The archive in pieces, from a file on disk, so that memory does not grow with it."""
    with TemporaryFile() as file:
        write_archive(file)
        file.seek(0)
        while piece := file.read(CHUNK):
            yield piece
