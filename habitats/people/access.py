"""Who may see a page: one line at the top of each view.

Every page asks for a log-in by itself (LoginRequiredMiddleware), so a view that any member may
see needs `signed_in(request)` only to have the person, and a page for some roles says which.
Both return the person, so that the view goes on with it:

    person = member_or_403(request, Person.Role.BUILDER)

A coordinator may do everything, so that role is always among the allowed.
"""

from django.core.exceptions import PermissionDenied
from django.http import HttpRequest
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from habitats.people.models.people import Person


def signed_in(request: HttpRequest) -> Person:
    """The person logged in. Only on a page marked public can there be none: refused as well."""
    if not isinstance(request.user, Person):
        raise PermissionDenied(_("Log in to see this page."))
    return request.user


def member_or_403(request: HttpRequest, *roles: str) -> Person:
    """The person logged in, if a coordinator or of one of `roles`; else refused."""
    person = signed_in(request)
    if person.has_role(Person.Role.COORDINATOR, *roles):
        return person
    raise PermissionDenied(
        ngettext(
            "This page is not for the role “%(roles)s”. Ask a coordinator if you need it.",
            "This page is not for the roles “%(roles)s”. Ask a coordinator if you need it.",
            len(person.own_roles),
        )
        % {"roles": person.get_roles_display()}
    )


def coordinator_or_403(request: HttpRequest) -> Person:
    """The person logged in, if a coordinator; else refused."""
    return member_or_403(request)
