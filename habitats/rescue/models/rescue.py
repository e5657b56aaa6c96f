"""The rescue itself: the rule sets it answers to, and the figures it works by."""

from typing import Any

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils.translation import gettext as _

from habitats.common.languages import CODE_LENGTH
from habitats.common.written import written
from habitats.money import CURRENCIES
from habitats.structure.design import PanelSize, Species
from habitats.structure.read import PANEL_MM, SQUARES
from habitats.upkeep.schedule import LONGEST_DAYS, SAFETY_CHECK_DAYS, SHORTEST_DAYS
from habitats.welfare.checks import LONGEST_DAYS as LONGEST_DAYS_OF_CHECKS
from habitats.welfare.checks import NAILS_DAYS, TEETH_DAYS

TRIAL_DAYS, MOST_TRIAL_DAYS = 14, 180
FOLLOW_UPS, MOST_FOLLOW_UPS, MOST_FOLLOW_UP_DAYS = "7, 28, 180", 6, 1100


class Rescue(models.Model):
    """One row. A rule set left empty has not been chosen yet, and nothing is judged till it is.

    ``currency`` is the code of ISO 4217; empty until somebody chooses it, and prices have no sign.
    ``own_rules`` holds, by species, the rescue's own stricter figures, as the pure rules read
    them. The days and the alarm are common practice, no source: adjust them with your vet.
    ``panel_mm`` is empty until somebody has measured a panel, from joint to joint.
    """

    name = models.CharField(max_length=80, blank=True)
    # How adopters reach it: on the papers and pages of their kits.
    phone = models.CharField(max_length=40, blank=True)
    email = models.EmailField(max_length=120, blank=True)
    # For those who chose none, and whose browser asks for one that the product does not speak.
    language = models.CharField(max_length=CODE_LENGTH, default=settings.LANGUAGE_CODE)
    guinea_pig_rules = models.CharField(max_length=40, blank=True)
    rabbit_rules = models.CharField(max_length=40, blank=True)
    currency = models.CharField(
        max_length=3, blank=True, choices=[(code, one.name) for code, one in CURRENCIES.items()]
    )
    own_rules = models.JSONField(default=dict, blank=True)
    guinea_pig_quarantine_days = models.PositiveSmallIntegerField(
        default=14, validators=[MinValueValidator(14), MaxValueValidator(90)]
    )
    rabbit_quarantine_days = models.PositiveSmallIntegerField(
        default=14, validators=[MinValueValidator(14), MaxValueValidator(90)]
    )
    weigh_every_days = models.PositiveSmallIntegerField(
        default=7, validators=[MinValueValidator(1), MaxValueValidator(90)]
    )
    weight_alarm_percent = models.PositiveSmallIntegerField(
        default=10, validators=[MinValueValidator(1), MaxValueValidator(50)]
    )

    safety_check_days = models.PositiveSmallIntegerField(
        db_column="look_over_days",
        default=SAFETY_CHECK_DAYS,
        validators=[MinValueValidator(SHORTEST_DAYS), MaxValueValidator(LONGEST_DAYS)],
    )

    # Usual days of a trial at an adopter's, and days after an adoption on which somebody asks how
    # it goes: common practice, no source.
    trial_days = models.PositiveSmallIntegerField(
        default=TRIAL_DAYS, validators=[MinValueValidator(1), MaxValueValidator(MOST_TRIAL_DAYS)]
    )
    adoption_follow_ups = models.CharField(max_length=60, default=FOLLOW_UPS, blank=True)
    # Without contact for so long, an adopter is proposed to be erased; empty: never. Local law.
    erase_adopters_after_years = models.PositiveSmallIntegerField(
        null=True, blank=True, validators=[MinValueValidator(1), MaxValueValidator(30)]
    )
    # Likewise people of the team who no longer log in.
    erase_people_after_years = models.PositiveSmallIntegerField(
        null=True, blank=True, validators=[MinValueValidator(1), MaxValueValidator(30)]
    )
    # Who has none sets it up at the next log-in, before any other page.
    coordinators_need_second_factor = models.BooleanField(default=False)
    # In the rescue's own words, on each agreement.
    adoption_terms = models.TextField(max_length=6000, blank=True)
    # Of teeth and nails, common practice; 0: the rescue wants no reminder. It keeps such a rhythm
    # from ``checks_since`` on.
    teeth_check_days = models.PositiveSmallIntegerField(
        default=TEETH_DAYS, validators=[MaxValueValidator(LONGEST_DAYS_OF_CHECKS)]
    )
    nail_check_days = models.PositiveSmallIntegerField(
        default=NAILS_DAYS, validators=[MaxValueValidator(LONGEST_DAYS_OF_CHECKS)]
    )
    checks_since = models.DateField(null=True, editable=False)

    panel_mm = models.PositiveSmallIntegerField(
        null=True,
        blank=True,
        validators=[MinValueValidator(PANEL_MM[0]), MaxValueValidator(PANEL_MM[1])],
    )
    panel_squares = models.PositiveSmallIntegerField(
        default=9, validators=[MinValueValidator(SQUARES[0]), MaxValueValidator(SQUARES[1])]
    )
    # Estimates of work follow the rescue's own times; ``work_pace`` has what was learnt, in percent
    # of the usual by kind of work, and stays while it is not followed.
    learns_times = models.BooleanField(default=True)
    work_pace = models.JSONField(default=dict, blank=True, editable=False)
    # A coordinator has had enough of it: Today no longer carries it, its page stays.
    is_set_up_closed = models.BooleanField(default=False)

    class Meta:
        constraints = [
            models.CheckConstraint(name="there_is_one_rescue", condition=models.Q(pk=1)),
            models.CheckConstraint(
                name="quarantine_is_long_enough",
                condition=models.Q(
                    guinea_pig_quarantine_days__gte=14, rabbit_quarantine_days__gte=14
                ),
            ),
            models.CheckConstraint(
                name="animals_are_weighed", condition=models.Q(weigh_every_days__gte=1)
            ),
            models.CheckConstraint(
                name="enclosures_are_looked_over",
                condition=models.Q(safety_check_days__range=(SHORTEST_DAYS, LONGEST_DAYS)),
            ),
            models.CheckConstraint(
                name="weight_alarm_is_a_share",
                condition=models.Q(weight_alarm_percent__range=(1, 50)),
            ),
        ]

    def __str__(self) -> str:
        return self.name or _("the rescue")

    @classmethod
    def ours(cls) -> "Rescue":
        """The one row; made with its defaults where it is not there yet."""
        return next(iter(_OURS()), None) or cls.objects.get_or_create(pk=1)[0]

    @classmethod
    def language_of_ours(cls) -> str:
        """The language of the rescue, by one small query; empty before its row is made."""
        return next(iter(_LANGUAGE()), "")

    @classmethod
    def our_currency(cls) -> str:
        """The code of ISO 4217; empty while none is chosen."""
        return cls.objects.values_list("currency", flat=True).filter(pk=1).first() or ""

    @classmethod
    def our_work_pace(cls) -> dict[str, int]:
        """By kind of work, in percent of the usual; empty where estimates do not follow it."""
        found = cls.objects.filter(pk=1, learns_times=True).values_list("work_pace", flat=True)
        return found.first() or {}

    @property
    def follow_up_days(self) -> tuple[int, ...]:
        """Days after an adoption, rising."""
        return tuple(sorted({int(one) for one in self.adoption_follow_ups.split(",") if one}))

    @property
    def contacts(self) -> tuple[str, ...]:
        """Telephone and email, as far as they are entered."""
        return tuple(one for one in (self.phone, self.email) if one)

    @property
    def panel(self) -> PanelSize | None:
        """What new designs are drawn with; None until it was measured."""
        return PanelSize(self.panel_mm, self.panel_squares) if self.panel_mm else None

    def rules_for(self, species: str) -> str:
        """Id of the rule set chosen for the species; empty if none is."""
        return self.rabbit_rules if species == Species.RABBIT else self.guinea_pig_rules

    def own_figures(self, species: str) -> dict[str, Any]:
        """The rescue's own stricter figures for the species; empty if it has none."""
        figures = self.own_rules.get(species, {})
        return figures if isinstance(figures, dict) else {}


_OURS = written(lambda: Rescue.objects.filter(pk=1))
_LANGUAGE = written(lambda: Rescue.objects.filter(pk=1).values_list("language", flat=True))
