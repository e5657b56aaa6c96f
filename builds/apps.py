from django.apps import AppConfig


class BuildsConfig(AppConfig):
    name = "builds"
    verbose_name = "Builds"

    def ready(self) -> None:
        from builds import checks  # noqa: F401  (registers them)
        from builds.building.pages.today import builds_today
        from builds.kits.pages.today import follow_ups_today
        from builds.plans.models.builds import build_state_set
        from builds.pulls.models.pulling import release_when_stopped
        from builds.pulls.pages import pulls_today
        from builds.store.pages import store_today
        from habitats.board.pages.parts import today_asked

        build_state_set.connect(release_when_stopped)
        for receiver in (builds_today, pulls_today, store_today, follow_ups_today):
            today_asked.connect(receiver, dispatch_uid=receiver.__name__)
