from django.apps import AppConfig


class BuildsConfig(AppConfig):
    name = "builds"
    verbose_name = "Builds"

    def ready(self) -> None:
        from builds import checks  # noqa: F401  (registers them)
        from builds.building.pages.build_days import build_days_in_calendar
        from builds.building.pages.today import builds_today
        from builds.common.kept_layouts import kept_layout
        from builds.common.reckonings import stock_sheet_asked
        from builds.kits.pages.today import follow_ups_today
        from builds.placing.models.runs import forget_old_runs
        from builds.plans.models.builds import build_state_set
        from builds.plans.models.handing_on import builds_left
        from builds.plans.models.named_after import builds_named_after
        from builds.pulls.models.ending import release_when_stopped
        from builds.pulls.pages import pulls_today
        from builds.sheets.single import keep_by
        from builds.store.models import importing
        from builds.store.models.needs import stock_sheet_told
        from builds.store.pages import store_today
        from habitats.board.models.calendar_entries import calendar_asked
        from habitats.board.pages.parts import today_asked
        from habitats.homes.models.handing_on import left_at_asked
        from habitats.people.models.named_after import named_after_asked
        from habitats.records.models.imports.taking_in import IMPORTERS, Importer
        from habitats.server.tidying import tidy_asked

        keep_by(kept_layout)
        stock_sheet_asked.connect(stock_sheet_told)
        calendar_asked.connect(build_days_in_calendar)
        left_at_asked.connect(builds_left, dispatch_uid="builds_left")
        named_after_asked.connect(builds_named_after, dispatch_uid="builds_named_after")
        build_state_set.connect(release_when_stopped)
        tidy_asked.connect(forget_old_runs)
        IMPORTERS["items"] = Importer(importing.plan, importing.write)
        for receiver in (builds_today, pulls_today, store_today, follow_ups_today):
            today_asked.connect(receiver, dispatch_uid=receiver.__name__)
