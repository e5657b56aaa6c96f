"""What Today tells coordinators of backups that are missing."""

from typing import Any

from django import template
from django.utils import timezone

from habitats.backups.models.record import TOO_OLD, record

register = template.Library()


@register.inclusion_tag("backups/_old.html", takes_context=True)
def old_backup_warning(context: dict[str, Any]) -> dict[str, Any]:
    """A warning once the last good backup is two days old; it asks nothing of the database."""
    last, now = record(), timezone.now()
    joined = context["user"].date_joined
    if not last.is_too_old(now) or (last.good_at is None and now - joined < TOO_OLD):
        return {"is_old": False}
    return {
        "is_old": True,
        "since": last.good_at and timezone.localtime(last.good_at),
        "failed": last.failed,
    }
