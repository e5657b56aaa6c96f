"""Links with which a person chooses a password: to begin with, or because it was forgotten.

A link holds for days (PASSWORD_RESET_TIMEOUT) and for one password: it is signed over the password
and the last log-in, so that either ends it, and nothing of it is stored.
"""

from datetime import datetime, timedelta

from django.conf import settings
from django.contrib.auth.tokens import default_token_generator
from django.core.mail import send_mail
from django.db import models
from django.urls import reverse
from django.utils import timezone
from django.utils.http import urlsafe_base64_encode
from django.utils.translation import gettext as _
from django.utils.translation import override

from habitats.people.models.access_events import AccessEvent
from habitats.people.models.people import Person

# One mail in so many minutes, so that nobody fills another's letter box.
MAIL_EVERY = timedelta(minutes=10)


def link_path(person: Person) -> str:
    """The path below the site's address."""
    names = {
        "uidb64": urlsafe_base64_encode(str(person.pk).encode()),
        "token": default_token_generator.make_token(person),
    }
    return reverse("choose_password", kwargs=names)


def link_ends() -> datetime:
    """When a link made now no longer works."""
    return timezone.now() + timedelta(seconds=settings.PASSWORD_RESET_TIMEOUT)


def mail_goes_out() -> bool:
    return bool(settings.MAIL_FROM)


def may_be_mailed() -> "models.QuerySet[Person]":
    return Person.objects.filter(is_active=True, same_as__isnull=True).exclude(email="")


def mail_link(person: Person, address: str, language: str) -> bool:
    """Send the full ``address`` of a link; False where one was mailed a moment ago.

    Raises what the mail server says (``OSError``, ``SMTPException``).
    """
    mailed, now = AccessEvent.objects.filter(kind=AccessEvent.Kind.LINK_MAILED), timezone.now()
    # None that is still to come: a clock that was set back would keep the person waiting.
    if mailed.filter(person=person, at__gt=now - MAIL_EVERY, at__lte=now + MAIL_EVERY).exists():
        return False
    with override(person.language or language):
        words = {"name": str(person), "log_in_name": person.username, "address": address}
        body = _(
            "Hello %(name)s,\n\nopen this link to choose a password:\n\n%(address)s\n\n"
            "Your log-in name is %(log_in_name)s. The link works for three days and once. "
            "If you did not ask for it, do nothing: your password stays as it is.\n"
        )
        send_mail(_("Choose a password"), body % words, settings.MAIL_FROM, [person.email])
    return True
