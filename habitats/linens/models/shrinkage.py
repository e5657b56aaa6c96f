"""Shrinkage that was measured, and what it says for the next cut of that kind."""

from django.db import models

from habitats.common.happened import AppendOnly
from habitats.linens.models.linens import Linen, LinenKind
from habitats.rotation.cloth import Measurement, Shrinkage, shrinkage_from


class ShrinkTest(AppendOnly):
    """A piece measured before its first wash and after, dry, as ISO 3759 lays it: flat, at ease.

    Lengths in whole millimetres. ``linen`` None: a piece of cloth cut for the test.
    """

    kind = models.ForeignKey(LinenKind, on_delete=models.PROTECT, related_name="shrink_tests")
    linen = models.ForeignKey(
        Linen, on_delete=models.PROTECT, null=True, related_name="shrink_tests"
    )
    before_width_mm = models.PositiveIntegerField()
    before_length_mm = models.PositiveIntegerField()
    after_width_mm = models.PositiveIntegerField()
    after_length_mm = models.PositiveIntegerField()
    on = models.DateField()

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="shrink_test_measures_something",
                condition=models.Q(
                    before_width_mm__gt=0,
                    before_length_mm__gt=0,
                    after_width_mm__gt=0,
                    after_length_mm__gt=0,
                ),
            ),
        ]

    def __str__(self) -> str:
        return f"shrink test of kind {self.kind_id} on {self.on}"

    def measurement(self) -> Measurement:
        return Measurement(
            (self.before_width_mm, self.before_length_mm),
            (self.after_width_mm, self.after_length_mm),
        )


def shrinkage_of(kind: LinenKind) -> Shrinkage:
    """What to reckon with for the next cut: what was measured, else what is expected."""
    tests = [one.measurement() for one in kind.shrink_tests.all()]
    return shrinkage_from(tests) if tests else Shrinkage(kind.shrink_width, kind.shrink_length)
