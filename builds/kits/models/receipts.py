"""The receipt of a kit: who handed over what to whom, and how it was signed."""

from django.db import models

from builds.plans.models.builds import Build
from habitats.common.happened import AppendOnly
from habitats.stored_wording import all_from_json

LONGEST_RECEIVER, LONGEST_SIGNATURE = 60, 80


class KitReceipt(AppendOnly):
    """Handed over on this day. ``signed`` is the name the adopter typed, empty where the paper
    receipt is signed instead. ``missing``: what was not in the box, read as ``to_send``. Of earlier
    versions it is text in the words of whoever handed over, and stays so.
    """

    build = models.OneToOneField(Build, on_delete=models.PROTECT, related_name="receipt")
    received_by = models.CharField(max_length=LONGEST_RECEIVER)
    handed_by = models.CharField(max_length=LONGEST_SIGNATURE)
    on = models.DateField()
    signed = models.CharField(max_length=LONGEST_SIGNATURE, blank=True)
    is_on_paper = models.BooleanField(default=False)
    missing = models.JSONField(default=list)
    note = models.CharField(max_length=200, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="a_receipt_names_both", condition=~models.Q(received_by="", handed_by="")
            ),
            models.CheckConstraint(
                name="a_receipt_is_signed",
                condition=models.Q(is_on_paper=True) | ~models.Q(signed=""),
            ),
        ]

    @property
    def to_send(self) -> list[str]:
        """What was not in the box, in words for the reader."""
        return all_from_json(self.missing)

    def __str__(self) -> str:
        return f"receipt of build {self.build_id}"
