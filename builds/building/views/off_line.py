"""Files and pages for phones that are offline: the service worker, the manifest, a page."""

import json
from typing import Any

from django.conf import settings
from django.contrib.auth.decorators import login_not_required
from django.contrib.staticfiles.storage import staticfiles_storage
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.templatetags.static import static
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.cache import cache_control
from django.views.decorators.http import require_GET

from habitats.common.script_words import addresses_of_words

# What pages of builds, and the page that stands in for others, are made with.
FILES = (
    "css/tokens.css",
    "css/base.css",
    "css/lists.css",
    "css/figures.css",
    "css/forms.css",
    "css/drawing.css",
    "css/animals.css",
    "css/building.css",
    "css/faults.css",
    "css/kits.css",
    "css/linens.css",
    "css/packet.css",
    "css/pulls.css",
    "css/residence.css",
    "css/store.css",
    "fonts/routed-gothic.ttf",
    "fonts/routed-gothic-narrow.ttf",
    "img/mark.svg",
    "js/act-queue.js",
    "js/act-sending.js",
    "js/belonging.js",
    "js/build-forms.js",
    "js/build-phone.js",
    "js/build-ticks.js",
    "js/clock.js",
    "js/fault-place.js",
    "js/kept-forms.js",
    "js/phone-photos.js",
    "js/read-aloud.js",
    "js/stored-builds.js",
    "js/text-size.js",
    "js/unsent.js",
    "js/search-key.js",
    "js/unsent-list.js",
)
WORKER = ("js/act-queue.js", "js/act-sending.js", "js/worker.js")
ICONS = (("192", "any"), ("512", "any"), ("512", "maskable"))
# Static files have no hashes in their names: as they are while somebody works on them.
LOOSE = "loose"


def version() -> str:
    """Of all static files together: another one as soon as any of them changes."""
    return getattr(staticfiles_storage, "manifest_hash", "") or LOOSE


# It knows nothing of anybody; what it stores is asked for by pages.
@login_not_required
@require_GET
@cache_control(no_cache=True)
def service_worker(request: HttpRequest) -> HttpResponse:
    """Served at the root, so that it may stand behind every page."""
    plan = {
        "version": version(),
        "isLoose": version() == LOOSE,
        # Not `static("")`: no file has an empty name, so collected files have no entry for it.
        "staticAt": settings.STATIC_URL,
        "words": addresses_of_words(),
        "files": [static(name) for name in FILES],
        "noSignal": reverse("builds:no_signal"),
        "pages": [reverse("builds:no_signal"), reverse("builds:unsent")],
    }
    scripts = ", ".join(json.dumps(static(name)) for name in WORKER)
    body = f"self.plan = {json.dumps(plan, indent=1)};\nimportScripts({scripts});\n"
    return HttpResponse(body, content_type="text/javascript; charset=utf-8")


# Browsers ask for it without saying who is logged in.
@login_not_required
@require_GET
@cache_control(max_age=3600)
def manifest(request: HttpRequest) -> JsonResponse:
    """As the W3C's Web Application Manifest has it."""
    said = {
        "id": "/",
        "name": "Habitats",
        "short_name": "Habitats",
        "description": _("Enclosures for guinea pigs and rabbits: design, build, keep clean."),
        "start_url": "/",
        "scope": "/",
        "display": "standalone",
        "background_color": "#f3ebdc",
        "theme_color": "#f3ebdc",
        "icons": [_icon(size, purpose) for size, purpose in ICONS],
    }
    return JsonResponse(said, content_type="application/manifest+json")


# Stored on phones for whoever holds one, so it names nobody.
@login_not_required
@require_GET
def no_signal(request: HttpRequest) -> HttpResponse:
    """Stands in for a page that is not stored on the phone."""
    return render(request, "building/no_signal.html")


# The same: what is shown is read from the phone by a script.
@login_not_required
@require_GET
def unsent(request: HttpRequest) -> HttpResponse:
    """What is kept on this phone and not sent yet, to be read and withdrawn."""
    return render(request, "building/unsent.html")


def _icon(size: str, purpose: str) -> dict[str, Any]:
    name = f"img/icon-{size}.png" if purpose == "any" else f"img/icon-{size}-{purpose}.png"
    return {"src": static(name), "sizes": f"{size}x{size}", "type": "image/png", "purpose": purpose}
