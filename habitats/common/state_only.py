"""Migrations that change what Django knows of the tables, and no table."""

from django.db.migrations import SeparateDatabaseAndState
from django.db.migrations.operations.base import Operation
from django.db.migrations.state import ProjectState


class StateOnly(SeparateDatabaseAndState):
    """Many operations on the state alone, in a moment.

    Django builds all related model classes again after each operation while it holds any: half a
    minute for sixty renamed fields. Without them it builds them once, when they are next needed.
    """

    def __init__(self, state_operations: list[Operation]) -> None:
        super().__init__(state_operations=state_operations)

    def state_forwards(self, app_label: str, state: ProjectState) -> None:
        state.__dict__.pop("apps", None)
        super().state_forwards(app_label, state)
