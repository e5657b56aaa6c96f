from django.apps import AppConfig


class BuildsConfig(AppConfig):
    name = "builds"
    verbose_name = "Builds"

    def ready(self) -> None:
        from builds import checks  # noqa: F401  (registers them)
        from builds.plans.models.builds import build_state_set
        from builds.pulls.models.pulling import release_when_stopped

        build_state_set.connect(release_when_stopped)
