from django.apps import AppConfig
from django.db.models.signals import post_migrate


class HabitatsConfig(AppConfig):
    name = "habitats"
    verbose_name = "Habitats"

    def ready(self) -> None:
        from habitats import checks  # noqa: F401  (registers itself)
        from habitats.models.enclosures import stands_as
        from habitats.models.no_overlap import keep_spans_apart
        from habitats.models.readings import listen
        from habitats.models.refitting import refit

        post_migrate.connect(keep_spans_apart, sender=self, dispatch_uid="keep_spans_apart")
        listen()
        stands_as.connect(refit, dispatch_uid="refit")
