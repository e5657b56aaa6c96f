"""Several linens written in one transaction: locked beforehand, always in the same order."""

from collections.abc import Iterable

from habitats.linens.models.linens import Linen


def lock_linens(linens: Iterable[Linen]) -> None:
    """Lock these until the end of the transaction.

    Two who write some of the same at once wait for each other then, and never in a circle.
    """
    rows = Linen.objects.filter(pk__in={one.pk for one in linens})
    list(rows.select_for_update(of=("self",), no_key=True).order_by("pk").values_list("pk"))
