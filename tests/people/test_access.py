"""The one line at the top of a view."""

import pytest
from django.contrib.auth.models import AnonymousUser
from django.core.exceptions import PermissionDenied

from habitats.people.access import coordinator_or_403, member_or_403, signed_in


@pytest.fixture
def request_by(rf):
    def request_by(person):
        request = rf.get("/")
        request.user = person
        return request

    return request_by


def test_the_person_is_handed_on(request_by, builder):
    assert signed_in(request_by(builder)) == builder


def test_nobody_is_refused(request_by):
    with pytest.raises(PermissionDenied):
        signed_in(request_by(AnonymousUser()))


def test_a_coordinator_may_do_what_any_role_may(request_by, coordinator):
    assert member_or_403(request_by(coordinator), "laundry") == coordinator


def test_one_of_the_named_roles_may(request_by, builder):
    assert member_or_403(request_by(builder), "laundry", "builder") == builder


def test_another_role_is_told_that_its_role_does_not_include_the_page(request_by, foster):
    with pytest.raises(PermissionDenied, match="not for the role “Foster”"):
        member_or_403(request_by(foster), "builder")


def test_only_a_coordinator_passes_as_coordinator(request_by, builder):
    with pytest.raises(PermissionDenied):
        coordinator_or_403(request_by(builder))


def test_there_is_no_page_at_an_address_with_a_nul(client_of, coordinator):
    assert client_of(coordinator).get("/space/?area=%00").status_code == 404
