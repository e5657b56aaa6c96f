from django.apps import AppConfig
from django.db.models.signals import post_migrate


class HabitatsConfig(AppConfig):
    name = "habitats"
    verbose_name = "Habitats"

    def ready(self) -> None:
        """What a low feature asks or tells, and which higher one answers; by who is concerned."""
        from habitats import (
            checks,  # noqa: F401  (registers itself)
            wording,
        )
        from habitats.common.languages import reader
        from habitats.common.plain_bounds import say_bounds_plainly

        wording.read_by(reader)
        say_bounds_plainly()
        self._keep_rows_true()
        self._follow_people()
        self._follow_animals()
        self._follow_enclosures()

    def _keep_rows_true(self) -> None:
        from habitats.animals.models.no_overlap import keep_spans_apart
        from habitats.readings.models.stale import forget_all

        post_migrate.connect(keep_spans_apart, sender=self, dispatch_uid="keep_spans_apart")
        post_migrate.connect(forget_all, sender=self, dispatch_uid="forget_readings")

    def _follow_people(self) -> None:
        """Log-ins, erasures, and what somebody leaves behind."""
        from habitats.adoptions.models.erasing import erased as erased_adopters
        from habitats.common.kept_prints import erased_asked
        from habitats.homes.models.erasing import listen as listen_to_erasing
        from habitats.homes.models.handing_on import left_at_asked
        from habitats.linens.models.handing_on import pools_left
        from habitats.linens.models.named_after import pools_named_after
        from habitats.people.models.access_events import listen as note_access
        from habitats.people.models.devices import listen as remember_devices
        from habitats.people.models.erasing import erased as erased_people
        from habitats.people.models.named_after import named_after_asked
        from habitats.records.models.erasing import listen as forget_lines
        from habitats.rescue.models.second_factor_rule import listen as ask_for_second_factor

        erased_asked.connect(erased_adopters, dispatch_uid="erased_adopters")
        erased_asked.connect(erased_people, dispatch_uid="erased_people")
        left_at_asked.connect(pools_left, dispatch_uid="pools_left")
        named_after_asked.connect(pools_named_after, dispatch_uid="pools_named_after")
        listen_to_erasing()
        forget_lines()
        note_access()
        remember_devices()
        ask_for_second_factor()

    def _follow_animals(self) -> None:
        """Acts and their undoing, doubles, departures and returns."""
        from habitats.adoptions.models.leaving import (
            end_when_it_is_back,
            end_when_it_left,
            reopen_when_it_never_came_back,
        )
        from habitats.adoptions.models.merging_animals import (
            keep_with_its_adopter,
            refuse_two_adoptions,
        )
        from habitats.adoptions.models.undoing import refuse_adopted
        from habitats.animals.models.acts import listen as note_acts
        from habitats.animals.models.groups import Membership
        from habitats.animals.models.joining import animal_back, animal_left
        from habitats.animals.models.merging import merge_asked, merge_chosen
        from habitats.animals.models.stays import Stay
        from habitats.animals.models.undoing import readmission_undone, undo_asked
        from habitats.enclosures.models.standing import Standing
        from habitats.health.models.merging import end_the_other, treatments_in_both

        note_acts(Membership, Stay, Standing)
        undo_asked.connect(refuse_adopted, dispatch_uid="refuse_adopted")
        merge_asked.connect(treatments_in_both, dispatch_uid="treatments_in_both")
        merge_chosen.connect(end_the_other, dispatch_uid="end_the_other_treatment")
        merge_asked.connect(refuse_two_adoptions, dispatch_uid="refuse_two_adoptions")
        merge_chosen.connect(keep_with_its_adopter, dispatch_uid="keep_with_its_adopter")
        animal_left.connect(end_when_it_left, dispatch_uid="end_when_it_left")
        animal_back.connect(end_when_it_is_back, dispatch_uid="end_when_it_is_back")
        readmission_undone.connect(reopen_when_it_never_came_back, dispatch_uid="reopen_adoption")

    def _follow_enclosures(self) -> None:
        """What is kept of them is forgotten in time; linens follow how they stand."""
        from habitats.enclosures.models.enclosures import stands_as
        from habitats.health.models.stale import listen as listen_to_health
        from habitats.linens.models.refitting import refit
        from habitats.linens.models.stale import listen as listen_to_linens
        from habitats.readings.models.stale import listen as listen_to_residents

        listen_to_residents()
        listen_to_health()
        listen_to_linens()
        stands_as.connect(refit, dispatch_uid="refit")
