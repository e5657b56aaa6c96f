"""Builds that are under way, and acts as a phone sends them."""

import uuid

import pytest
from django.utils import timezone

from builds.building.models.intake import take
from tests.support.builds import make_build, steps_of


@pytest.fixture
def under_way(builder):
    """A build that is begun, with the builder of the cast on it."""
    return make_build("Nook by the door", state="building", people=[builder])


@pytest.fixture
def build(builder):
    return make_build(state="building", people=[builder])


@pytest.fixture
def act(build):
    """`act("tick")`: as a phone sends it, on the first step unless another is named."""

    def make(kind, **changes):
        first = steps_of(build)[0].key
        at = timezone.now().isoformat()
        return {"once": str(uuid.uuid4()), "kind": kind, "step": first, "at": at, **changes}

    return make


@pytest.fixture
def send(build, builder):
    """`send(act, person=…, now=…)`: the answer to it."""

    def send(sent, person=None, now=None):
        return take(person or builder, build, sent, now or timezone.now())

    return send
