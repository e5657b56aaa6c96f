"""Steps on the drawing board, and the shape that is kept of a design."""

from collections.abc import Callable

import pytest

from habitats.designs.models.designs import Design
from habitats.structure.design import Design as Shape


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
