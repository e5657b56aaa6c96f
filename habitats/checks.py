"""Settings that do not go together, told before the first request, each with what to do."""

import os
from collections.abc import Sequence
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

from django.conf import settings
from django.core.checks import CheckMessage, Error, Tags, Warning, register
from django.core.exceptions import ImproperlyConfigured
from django.db import connections
from django.http.request import validate_host

from habitats.common.public_address import Reach, reach_of
from habitats.environment import SQLITE
from habitats.older import too_old


@register(Tags.security)
def secret_key_is_there(**kwargs: Any) -> list[CheckMessage]:
    try:
        key = settings.SECRET_KEY
    except ImproperlyConfigured:  # Django raises when an empty key is read
        key = ""
    if key:
        return []
    return [
        Error(
            "There is no SECRET_KEY, and DEBUG is off.",
            hint="Set SECRET_KEY or SECRET_KEY_FILE in the environment, or run `make install`, "
            "which writes one to the data folder.",
            id="habitats.E001",
        )
    ]


@register(Tags.files)
def database_folder_can_be_written(**kwargs: Any) -> list[CheckMessage]:
    database = settings.DATABASES["default"]
    folder = Path(database["NAME"]).parent
    if database["ENGINE"] != SQLITE or (folder.is_dir() and os.access(folder, os.W_OK)):
        return []
    return [
        Error(
            f"The database cannot be written: there is no folder {folder}, or it is not ours.",
            hint="Make the folder and give it to the user that runs the server, "
            "or name another place in DATABASE_URL.",
            id="habitats.E003",
        )
    ]


@register(Tags.files)
def database_is_private(**kwargs: Any) -> list[CheckMessage]:
    database = settings.DATABASES["default"]
    file = Path(database["NAME"])
    if database["ENGINE"] != SQLITE or not file.is_file():
        return []
    is_open = file.stat().st_mode & 0o044 and file.parent.stat().st_mode & 0o011
    if not is_open:
        return []
    return [
        Warning(
            f"Other users of this machine may read the database {file}.",
            hint=f"Type: chmod go= {file}*",
            id="habitats.W003",
        )
    ]


@register(Tags.files)
def static_files_are_collected(**kwargs: Any) -> list[CheckMessage]:
    by_manifest = "Manifest" in settings.STORAGES["staticfiles"]["BACKEND"]
    if not by_manifest or (Path(settings.STATIC_ROOT) / "staticfiles.json").exists():
        return []
    return [
        Warning(
            "The static files are not collected: every page would be a fault 500.",
            hint="Run manage.py collectstatic --noinput.",
            id="habitats.W002",
        )
    ]


@register(Tags.security)
def debug_stays_at_home(**kwargs: Any) -> list[CheckMessage]:
    at_home = {"localhost", "127.0.0.1", "[::1]", "testserver", ".localhost"}
    elsewhere = sorted(set(settings.ALLOWED_HOSTS) - at_home)
    if not settings.DEBUG or not elsewhere:
        return []
    return [
        Error(
            f"DEBUG is on, and pages are served to {', '.join(elsewhere)}: "
            "its error pages show settings to everybody.",
            hint="Unset DEBUG, or leave only localhost in ALLOWED_HOSTS.",
            id="habitats.E002",
        )
    ]


@register(Tags.security)
def https_is_on_where_others_look(**kwargs: Any) -> list[CheckMessage]:
    at_home = {"localhost", "127.0.0.1", "[::1]", "testserver"}
    elsewhere = sorted(set(settings.ALLOWED_HOSTS) - at_home)
    if settings.HTTPS or settings.DEBUG or not elsewhere:
        return []
    return [
        Warning(
            f"HTTPS is off, and pages are served to {', '.join(elsewhere)}: "
            "passwords cross the network in the clear.",
            hint="Put a reverse proxy with HTTPS in front and unset HTTPS (see README.md).",
            id="habitats.W001",
        )
    ]


@register(Tags.urls)
def public_address_is_one_of_ours(**kwargs: Any) -> list[CheckMessage]:
    at_home = {"localhost", "127.0.0.1", "[::1]", "testserver"}
    is_served = bool(set(settings.ALLOWED_HOSTS) - at_home)
    if not settings.PUBLIC_URL:
        why = "PUBLIC_URL is not set: no phone opens the codes on labels of linens."
        return [_public_address_warning(why)] if is_served else []
    host = urlsplit(settings.PUBLIC_URL).netloc.rpartition("@")[2]
    name = host[: host.rindex("]") + 1] if "]" in host else host.partition(":")[0]
    if not validate_host(name, settings.ALLOWED_HOSTS):
        why = f"PUBLIC_URL is {settings.PUBLIC_URL}, and {name} is not among ALLOWED_HOSTS."
        return [_public_address_warning(why)]
    if is_served and reach_of(settings.PUBLIC_URL) is Reach.MACHINE:
        why = f"PUBLIC_URL is {settings.PUBLIC_URL}, which is this machine alone."
        return [_public_address_warning(why)]
    return []


def _public_address_warning(why: str) -> CheckMessage:
    return Warning(
        why,
        hint="Set PUBLIC_URL to the address that all open the site under, and name its host in "
        "ALLOWED_HOSTS: printed labels, kit links and calendars carry it.",
        id="habitats.W004",
    )


@register(Tags.database)
def database_is_not_too_old(
    databases: Sequence[str] | None = None, **kwargs: Any
) -> list[CheckMessage]:
    """Asked by `migrate`, before it looks for migrations that are no longer there."""
    faults = (too_old(connections[alias]) for alias in databases or ())
    return [Error(fault, id="habitats.E008") for fault in faults if fault]
