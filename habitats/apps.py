from django.apps import AppConfig


class HabitatsConfig(AppConfig):
    name = "habitats"
    verbose_name = "Habitats"

    def ready(self) -> None:
        from habitats import checks  # noqa: F401  (registers itself)
