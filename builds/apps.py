from django.apps import AppConfig


class BuildsConfig(AppConfig):
    name = "builds"
    verbose_name = "Builds"

    def ready(self) -> None:
        from builds import checks  # noqa: F401  (registers them)
