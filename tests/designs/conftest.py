"""Designs that are kept: drawn by the coordinator of the cast."""

from collections.abc import Callable

import pytest

from habitats.designs.models.designs import Design
from habitats.structure.design import Design as Shape
from tests.support.designs import make_design


@pytest.fixture
def make_drawn(coordinator) -> Callable[..., Design]:
    """`make_drawn(["##", "##"], name="Low")`: as `make_design`, kept."""

    def make(*args: object, **changes: object) -> Design:
        shape = make_design(*args, **changes)
        return Design.objects.draw(shape, by=coordinator)

    return make


@pytest.fixture
def shape_of() -> Callable[[Design], Shape]:
    """The shape as it is kept now."""
    return lambda design: Design.objects.get(pk=design.pk).shape()


@pytest.fixture
def take(client_of, coordinator):
    """`take(design, "cells", cell="0,2")`: one step on the board, as a form without script."""
    client = client_of(coordinator)

    def post(design: Design, step: str, htmx: bool = False, **sent: object):
        headers = {"HX-Request": "true"} if htmx else {}
        return client.post(f"/designs/{design.code}/board/{step}/", sent, headers=headers)

    return post
