import uuid
from decimal import Decimal

import django.core.validators
import django.db.models.deletion
import django.utils.timezone
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("builds", "0002_builds"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name="Item",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("panel", "Panel"),
                            ("connector", "Connector"),
                            ("tie", "Cable tie"),
                            ("clip", "Lid clip"),
                            ("sheet", "Sheet"),
                            ("tape", "Sheet tape"),
                            ("cloth", "Cloth"),
                            ("tool", "Tool"),
                            ("other", "Other"),
                        ],
                        max_length=10,
                    ),
                ),
                ("name", models.CharField(max_length=120)),
                ("panel_mm", models.PositiveIntegerField(blank=True, null=True)),
                ("panel_squares", models.PositiveSmallIntegerField(blank=True, null=True)),
                ("cloth_mm", models.PositiveIntegerField(blank=True, null=True)),
                ("unit", models.CharField(blank=True, max_length=10)),
                (
                    "reorder_at",
                    models.PositiveIntegerField(
                        blank=True,
                        null=True,
                        validators=[
                            django.core.validators.MinValueValidator(1),
                            django.core.validators.MaxValueValidator(100000),
                        ],
                    ),
                ),
                ("is_put_away", models.BooleanField(default=False, editable=False)),
            ],
            options={
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("name", ""), _negated=True), name="item_has_a_name"
                    ),
                    models.UniqueConstraint(
                        fields=("kind", "name"), name="one_item_a_kind_and_name"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            (
                                "kind__in",
                                [
                                    "panel",
                                    "connector",
                                    "tie",
                                    "clip",
                                    "sheet",
                                    "tape",
                                    "cloth",
                                    "tool",
                                    "other",
                                ],
                            )
                        ),
                        name="item_kind_is_known",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(
                                ("kind", "panel"),
                                ("panel_mm__isnull", False),
                                ("panel_squares__isnull", False),
                            ),
                            models.Q(
                                models.Q(("kind", "panel"), _negated=True),
                                ("panel_mm__isnull", True),
                                ("panel_squares__isnull", True),
                            ),
                            _connector="OR",
                        ),
                        name="a_panel_has_its_size_and_nothing_else_has",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("cloth_mm__isnull", False), ("kind", "cloth")),
                            models.Q(
                                models.Q(("kind", "cloth"), _negated=True),
                                ("cloth_mm__isnull", True),
                            ),
                            _connector="OR",
                        ),
                        name="cloth_has_its_width_and_nothing_else_has",
                    ),
                ],
            },
        ),
        migrations.AddField(
            model_name="sheetkind",
            name="item",
            field=models.OneToOneField(
                editable=False,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="sheet",
                to="builds.item",
            ),
        ),
        migrations.CreateModel(
            name="Place",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "code",
                    models.CharField(
                        max_length=12,
                        unique=True,
                        validators=[
                            django.core.validators.RegexValidator(
                                "^[A-Z0-9][A-Z0-9-]{0,11}$",
                                "A code has up to 12 capital letters, digits and dashes, such as A1 or LOFT-2.",
                            )
                        ],
                    ),
                ),
                ("name", models.CharField(max_length=60, unique=True)),
                ("note", models.CharField(blank=True, max_length=200)),
                ("is_put_away", models.BooleanField(default=False, editable=False)),
            ],
            options={
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("code", ""), _negated=True),
                            models.Q(("name", ""), _negated=True),
                        ),
                        name="place_has_code_and_name",
                    )
                ],
            },
        ),
        migrations.AddField(
            model_name="offcut",
            name="place",
            field=models.ForeignKey(
                editable=False,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="offcuts",
                to="builds.place",
            ),
        ),
        # The words stay beside the places until they are carried over.
        migrations.RenameField("offcutmove", "place", "place_words"),
        migrations.AddField(
            model_name="offcutmove",
            name="place",
            field=models.ForeignKey(
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to="builds.place",
            ),
        ),
        migrations.CreateModel(
            name="Stock",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("on_hand", models.PositiveIntegerField(default=0)),
                ("reserved", models.PositiveIntegerField(default=0)),
                ("number", models.PositiveIntegerField(default=0)),
                ("moved_at", models.DateTimeField(null=True)),
                ("counted_at", models.DateTimeField(null=True)),
                (
                    "item",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="stocks",
                        to="builds.item",
                    ),
                ),
                (
                    "place",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="stocks",
                        to="builds.place",
                    ),
                ),
            ],
        ),
        migrations.CreateModel(
            name="Stocktake",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("once", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                (
                    "made_at",
                    models.DateTimeField(default=django.utils.timezone.now, editable=False),
                ),
                (
                    "made_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "place",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="stocktakes",
                        to="builds.place",
                    ),
                ),
            ],
        ),
        migrations.CreateModel(
            name="Movement",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("once", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                (
                    "made_at",
                    models.DateTimeField(default=django.utils.timezone.now, editable=False),
                ),
                ("number", models.PositiveIntegerField()),
                (
                    "why",
                    models.CharField(
                        choices=[
                            ("in", "Came in"),
                            ("out", "Taken"),
                            ("reserve", "Reserved"),
                            ("release", "No longer reserved"),
                            ("move", "Moved"),
                            ("count", "Counted"),
                            ("scrap", "Scrapped"),
                            ("cut", "Cut up"),
                            ("found", "Found when cutting"),
                        ],
                        max_length=10,
                    ),
                ),
                ("on_hand_change", models.IntegerField(default=0)),
                ("reserved_change", models.IntegerField(default=0)),
                ("on_hand", models.PositiveIntegerField()),
                ("reserved", models.PositiveIntegerField()),
                ("note", models.CharField(blank=True, max_length=200)),
                (
                    "item",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="movements",
                        to="builds.item",
                    ),
                ),
                (
                    "job",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="movements",
                        to="builds.cuttingjob",
                    ),
                ),
                (
                    "build",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="movements",
                        to="builds.build",
                    ),
                ),
                (
                    "made_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "other",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="builds.place",
                    ),
                ),
                (
                    "place",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="movements",
                        to="builds.place",
                    ),
                ),
                (
                    "stocktake",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="movements",
                        to="builds.stocktake",
                    ),
                ),
            ],
        ),
        migrations.CreateModel(
            name="Supplier",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("name", models.CharField(max_length=80, unique=True)),
                ("note", models.CharField(blank=True, max_length=300, verbose_name="how to order")),
                ("is_put_away", models.BooleanField(default=False, editable=False)),
            ],
            options={
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("name", ""), _negated=True), name="supplier_has_a_name"
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="PackOffer",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "count",
                    models.PositiveIntegerField(
                        validators=[
                            django.core.validators.MinValueValidator(1),
                            django.core.validators.MaxValueValidator(100000),
                        ]
                    ),
                ),
                (
                    "price",
                    models.DecimalField(
                        decimal_places=2,
                        max_digits=8,
                        validators=[
                            django.core.validators.MinValueValidator(Decimal("0")),
                            django.core.validators.MaxValueValidator(Decimal("999999.99")),
                        ],
                    ),
                ),
                ("number", models.CharField(blank=True, max_length=40)),
                (
                    "at_most",
                    models.PositiveIntegerField(
                        blank=True,
                        null=True,
                        validators=[
                            django.core.validators.MinValueValidator(1),
                            django.core.validators.MaxValueValidator(100000),
                        ],
                    ),
                ),
                ("is_put_away", models.BooleanField(default=False, editable=False)),
                (
                    "item",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="packs",
                        to="builds.item",
                    ),
                ),
                (
                    "supplier",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="packs",
                        to="builds.supplier",
                    ),
                ),
            ],
        ),
        migrations.AddConstraint(
            model_name="stock",
            constraint=models.UniqueConstraint(
                fields=("item", "place"), name="one_stock_an_item_and_place"
            ),
        ),
        migrations.AddConstraint(
            model_name="stock",
            constraint=models.CheckConstraint(
                condition=models.Q(("on_hand__gte", models.F("reserved")), ("reserved__gte", 0)),
                name="stock_holds_what_is_reserved",
            ),
        ),
        migrations.AddIndex(
            model_name="stocktake",
            index=models.Index(fields=["place", "-made_at"], name="stocktake_of_place"),
        ),
        migrations.AddIndex(
            model_name="movement",
            index=models.Index(fields=["item", "-made_at", "-number"], name="movement_of_item"),
        ),
        migrations.AddIndex(
            model_name="movement",
            index=models.Index(
                fields=["place", "item", "-made_at", "-number"], name="movement_in_place"
            ),
        ),
        migrations.AddIndex(
            model_name="movement",
            index=models.Index(
                condition=models.Q(("reserved_change", 0), _negated=True),
                fields=["item", "place"],
                name="movement_reserving",
            ),
        ),
        migrations.AddConstraint(
            model_name="movement",
            constraint=models.UniqueConstraint(
                fields=("item", "place", "number"), name="one_number_a_movement_there"
            ),
        ),
        migrations.AddConstraint(
            model_name="movement",
            constraint=models.CheckConstraint(
                condition=models.Q(("on_hand__gte", models.F("reserved")), ("reserved__gte", 0)),
                name="ledger_holds_what_is_reserved",
            ),
        ),
        migrations.AddConstraint(
            model_name="movement",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(
                        ("on_hand_change__gt", 0),
                        ("reserved_change", 0),
                        ("why__in", ["in", "found"]),
                    ),
                    models.Q(
                        ("on_hand_change__lt", 0),
                        ("reserved_change__gte", models.F("on_hand_change")),
                        ("reserved_change__lte", 0),
                        ("why__in", ["out", "cut"]),
                    ),
                    models.Q(("on_hand_change__lt", 0), ("reserved_change", 0), ("why", "scrap")),
                    models.Q(("on_hand_change", 0), ("reserved_change__gt", 0), ("why", "reserve")),
                    models.Q(("on_hand_change", 0), ("reserved_change__lt", 0), ("why", "release")),
                    models.Q(("reserved_change", 0), ("why", "count")),
                    models.Q(
                        ("on_hand_change__gt", 0),
                        ("reserved_change__gte", 0),
                        ("reserved_change__lte", models.F("on_hand_change")),
                        ("why", "move"),
                    ),
                    models.Q(
                        ("on_hand_change__lt", 0),
                        ("reserved_change__gte", models.F("on_hand_change")),
                        ("reserved_change__lte", 0),
                        ("why", "move"),
                    ),
                    _connector="OR",
                ),
                name="movement_goes_its_way",
            ),
        ),
        migrations.AddConstraint(
            model_name="movement",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(
                        ("other__isnull", False),
                        ("why", "move"),
                        models.Q(("other", models.F("place")), _negated=True),
                    ),
                    models.Q(models.Q(("why", "move"), _negated=True), ("other__isnull", True)),
                    _connector="OR",
                ),
                name="a_move_has_two_places",
            ),
        ),
        migrations.AddConstraint(
            model_name="movement",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("why__in", ["cut", "found"]), _negated=True),
                    ("job__isnull", False),
                    _connector="OR",
                ),
                name="what_is_cut_is_cut_for_a_job",
            ),
        ),
        migrations.AddConstraint(
            model_name="movement",
            constraint=models.CheckConstraint(
                condition=models.Q(("stocktake__isnull", True), ("why", "count"), _connector="OR"),
                name="a_stocktake_counts",
            ),
        ),
        migrations.AddConstraint(
            model_name="packoffer",
            constraint=models.CheckConstraint(
                condition=models.Q(("count__range", (1, 100000))), name="pack_holds_something"
            ),
        ),
        migrations.AddConstraint(
            model_name="packoffer",
            constraint=models.CheckConstraint(
                condition=models.Q(("price__gte", 0)), name="pack_price_is_not_negative"
            ),
        ),
        migrations.AddConstraint(
            model_name="packoffer",
            constraint=models.CheckConstraint(
                condition=models.Q(("at_most__isnull", True), ("at_most__gte", 1), _connector="OR"),
                name="pack_supply_is_some",
            ),
        ),
        migrations.AddConstraint(
            model_name="packoffer",
            constraint=models.UniqueConstraint(
                fields=("supplier", "item", "count"), name="one_pack_a_supplier_item_and_count"
            ),
        ),
    ]
