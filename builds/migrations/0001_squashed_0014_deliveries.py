"""All tables as they were when the migrations before were squashed. Never rewritten."""

import builds.kits.models.kit_links
import django.core.serializers.json
import django.core.validators
import django.db.models.deletion
import django.utils.timezone
import uuid
from decimal import Decimal
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    initial = True

    # A database at the last of these goes on from here; one before it is refused, by
    # habitats/older.py, with the version to install first.
    replaces = [
        ("builds", "0001_sheets_store_and_batches"),
        ("builds", "0002_builds"),
        ("builds", "0003_one_ledger"),
        ("builds", "0004_carry_over"),
        ("builds", "0005_one_ledger_only"),
        ("builds", "0006_starts"),
        ("builds", "0007_stray_pictures"),
        ("builds", "0008_kits"),
        ("builds", "0009_pulls"),
        ("builds", "0010_repairs"),
        ("builds", "0011_sheets_once"),
        ("builds", "0012_step_keys"),
        ("builds", "0013_overtaken_ticks"),
        ("builds", "0014_deliveries"),
    ]

    dependencies = [
        ('habitats', '0001_squashed_0012_last_changes'),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name='Batch',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('name', models.CharField(max_length=80)),
                ('code', models.CharField(editable=False, max_length=6, unique=True)),
                ('once', models.UUIDField(unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now)),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='batches', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'constraints': [models.CheckConstraint(condition=models.Q(('name', ''), _negated=True), name='batch_has_a_name')],
            },
        ),
        migrations.CreateModel(
            name='Build',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('code', models.CharField(editable=False, max_length=6, unique=True)),
                ('name', models.CharField(max_length=80)),
                ('adopter', models.CharField(blank=True, max_length=60)),
                ('planned_on', models.DateField(blank=True, null=True)),
                ('notes', models.TextField(blank=True, max_length=2000)),
                ('once', models.UUIDField(editable=False, unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('enclosure', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='builds', to='habitats.enclosure')),
                ('home', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='builds', to='habitats.home')),
                ('made_by', models.ForeignKey(editable=False, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('people', models.ManyToManyField(blank=True, related_name='builds', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'constraints': [models.CheckConstraint(condition=models.Q(('name', ''), _negated=True), name='build_has_a_name'), models.CheckConstraint(condition=models.Q(('home__isnull', True), ('adopter', ''), _connector='OR'), name='build_is_for_a_home_or_an_adopter')],
            },
        ),
        migrations.CreateModel(
            name='BatchLine',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('count', models.PositiveIntegerField()),
                ('who_for', models.CharField(blank=True, max_length=60)),
                ('once', models.UUIDField(unique=True)),
                ('batch', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='lines', to='builds.batch')),
                ('revision', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='habitats.designrevision')),
                ('builds', models.ManyToManyField(related_name='batch_lines', to='builds.build')),
            ],
            options={
                'ordering': ['batch', 'pk'],
                'constraints': [models.CheckConstraint(condition=models.Q(('count__range', (1, 200))), name='batch_line_counts')],
            },
        ),
        migrations.CreateModel(
            name='BuildEvent',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('once', models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('state', models.CharField(choices=[('planned', 'Planned'), ('pulled', 'Pulled'), ('building', 'Building'), ('inspected', 'Inspected'), ('handed over', 'Handed over'), ('stopped', 'Stopped')], max_length=12)),
                ('on', models.DateField()),
                ('note', models.CharField(blank=True, max_length=300)),
                ('build', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='events', to='builds.build')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'indexes': [models.Index(fields=['build', '-id'], name='build_event_latest')],
                'constraints': [models.CheckConstraint(condition=models.Q(('state__in', ['planned', 'pulled', 'building', 'inspected', 'handed over', 'stopped'])), name='build_state_is_known')],
            },
        ),
        migrations.CreateModel(
            name='BuildNote',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('once', models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('step_key', models.CharField(blank=True, max_length=12)),
                ('at', models.DateTimeField()),
                ('text', models.CharField(max_length=1000)),
                ('build', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='%(class)ss', to='builds.build')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'constraints': [models.CheckConstraint(condition=models.Q(('text', ''), _negated=True), name='build_note_says_something')],
            },
        ),
        migrations.CreateModel(
            name='BuildPhoto',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('once', models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('step_key', models.CharField(blank=True, max_length=12)),
                ('at', models.DateTimeField()),
                ('image', models.ImageField(upload_to='builds/')),
                ('note', models.CharField(blank=True, max_length=300)),
                ('build', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='%(class)ss', to='builds.build')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='BuildPlan',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('once', models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('number', models.PositiveSmallIntegerField()),
                ('is_repair', models.BooleanField(default=False)),
                ('parts', models.JSONField(encoder=django.core.serializers.json.DjangoJSONEncoder)),
                ('points', models.JSONField()),
                ('build', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='plans', to='builds.build')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('revision', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='habitats.designrevision')),
                ('standing', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='habitats.designrevision')),
            ],
            options={
                'constraints': [models.UniqueConstraint(fields=('build', 'number'), name='one_build_plan_a_number')],
            },
        ),
        migrations.CreateModel(
            name='BuildStep',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('number', models.PositiveSmallIntegerField()),
                ('key', models.CharField(max_length=12)),
                ('former_key', models.CharField(blank=True, default='', editable=False, max_length=12)),
                ('card', models.JSONField()),
                ('pictures', models.BinaryField()),
                ('plan', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='steps', to='builds.buildplan')),
            ],
            options={
                'ordering': ['plan', 'number'],
                'constraints': [models.UniqueConstraint(fields=('plan', 'number'), name='one_build_step_a_number'), models.UniqueConstraint(fields=('plan', 'key'), name='one_build_step_a_key')],
            },
        ),
        migrations.CreateModel(
            name='CuttingJob',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('code', models.CharField(editable=False, max_length=6, unique=True)),
                ('offer', models.JSONField(encoder=django.core.serializers.json.DjangoJSONEncoder)),
                ('once', models.UUIDField(unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now)),
                ('batch', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='jobs', to='builds.batch')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='cutting_jobs', to=settings.AUTH_USER_MODEL)),
            ],
        ),
        migrations.CreateModel(
            name='CuttingJobLine',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('number', models.PositiveIntegerField()),
                ('count', models.PositiveIntegerField()),
                ('who_for', models.CharField(blank=True, max_length=60)),
                ('batch_line', models.ForeignKey(null=True, on_delete=django.db.models.deletion.SET_NULL, related_name='job_lines', to='builds.batchline')),
                ('builds', models.ManyToManyField(related_name='job_lines', to='builds.build')),
                ('job', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='lines', to='builds.cuttingjob')),
                ('revision', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='habitats.designrevision')),
            ],
            options={
                'ordering': ['job', 'number'],
                'constraints': [models.UniqueConstraint(fields=('job', 'number'), name='one_job_line_a_number'), models.CheckConstraint(condition=models.Q(('count__range', (1, 200))), name='job_line_counts')],
            },
        ),
        migrations.CreateModel(
            name='CuttingRun',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('number', models.PositiveIntegerField()),
                ('seconds', models.FloatField()),
                ('started_at', models.DateTimeField()),
                ('beat_at', models.DateTimeField()),
                ('stop_asked_at', models.DateTimeField(null=True)),
                ('ended_at', models.DateTimeField(null=True)),
                ('how', models.CharField(blank=True, choices=[('finished', 'Finished'), ('stopped', 'Stopped'), ('lost', 'Stopped when the server was restarted'), ('failed', 'Failed')], max_length=10)),
                ('plan', models.JSONField(encoder=django.core.serializers.json.DjangoJSONEncoder, null=True)),
                ('better', models.PositiveIntegerField(default=0)),
                ('unplaced', models.PositiveIntegerField(default=0)),
                ('weight', models.DecimalField(decimal_places=2, default=0, max_digits=14)),
                ('takes', models.JSONField(default=dict)),
                ('whole', models.JSONField(default=list)),
                ('job', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='runs', to='builds.cuttingjob')),
            ],
            options={
                'ordering': ['job', 'number'],
                'constraints': [models.UniqueConstraint(fields=('job', 'number'), name='one_run_a_number'), models.UniqueConstraint(condition=models.Q(('ended_at__isnull', True)), fields=('job',), name='a_job_is_worked_out_once_at_a_time'), models.CheckConstraint(condition=models.Q(models.Q(('ended_at__isnull', True), ('how', '')), models.Q(('ended_at__isnull', False), ('how__in', ['finished', 'stopped', 'lost', 'failed'])), _connector='OR'), name='a_run_ends_somehow')],
            },
        ),
        migrations.CreateModel(
            name='FaultWork',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('once', models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('build', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='fault_works', to='builds.build')),
                ('fault', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='works', to='habitats.fault')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'constraints': [models.UniqueConstraint(fields=('build', 'fault'), name='a_build_mends_a_fault_once')],
            },
        ),
        migrations.CreateModel(
            name='FollowUp',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('once', models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('number', models.PositiveSmallIntegerField()),
                ('on', models.DateField(null=True)),
                ('build', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='follow_ups', to='builds.build')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'indexes': [models.Index(fields=['build', 'number', '-id'], name='follow_up_latest')],
                'constraints': [models.CheckConstraint(condition=models.Q(('number__in', [1, 2, 3])), name='follow_up_number_is_known')],
            },
        ),
        migrations.CreateModel(
            name='FollowUpDone',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('once', models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('number', models.PositiveSmallIntegerField()),
                ('on', models.DateField()),
                ('note', models.CharField(blank=True, max_length=1000)),
                ('build', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='follow_ups_done', to='builds.build')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'constraints': [models.UniqueConstraint(fields=('build', 'number'), name='a_follow_up_is_done_once')],
            },
        ),
        migrations.CreateModel(
            name='Inspection',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('once', models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('on', models.DateField()),
                ('answers', models.JSONField()),
                ('signed', models.CharField(max_length=80)),
                ('has_passed', models.BooleanField()),
                ('build', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='inspections', to='builds.build')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'constraints': [models.CheckConstraint(condition=models.Q(('signed', ''), _negated=True), name='inspection_is_signed')],
            },
        ),
        migrations.CreateModel(
            name='Item',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('kind', models.CharField(choices=[('panel', 'Panel'), ('connector', 'Connector'), ('tie', 'Cable tie'), ('clip', 'Lid clip'), ('sheet', 'Sheet'), ('tape', 'Sheet tape'), ('cloth', 'Cloth'), ('tool', 'Tool'), ('other', 'Other')], max_length=10)),
                ('name', models.CharField(max_length=120)),
                ('panel_mm', models.PositiveIntegerField(blank=True, null=True)),
                ('panel_squares', models.PositiveSmallIntegerField(blank=True, null=True)),
                ('cloth_mm', models.PositiveIntegerField(blank=True, null=True)),
                ('unit', models.CharField(blank=True, max_length=10)),
                ('reorder_at', models.PositiveIntegerField(blank=True, null=True, validators=[django.core.validators.MinValueValidator(1), django.core.validators.MaxValueValidator(100000)])),
                ('is_put_away', models.BooleanField(default=False, editable=False)),
            ],
            options={
                'constraints': [models.CheckConstraint(condition=models.Q(('name', ''), _negated=True), name='item_has_a_name'), models.UniqueConstraint(fields=('kind', 'name'), name='one_item_a_kind_and_name'), models.CheckConstraint(condition=models.Q(('kind__in', ['panel', 'connector', 'tie', 'clip', 'sheet', 'tape', 'cloth', 'tool', 'other'])), name='item_kind_is_known'), models.CheckConstraint(condition=models.Q(models.Q(('kind', 'panel'), ('panel_mm__isnull', False), ('panel_squares__isnull', False)), models.Q(models.Q(('kind', 'panel'), _negated=True), ('panel_mm__isnull', True), ('panel_squares__isnull', True)), _connector='OR'), name='a_panel_has_its_size_and_nothing_else_has'), models.CheckConstraint(condition=models.Q(models.Q(('cloth_mm__isnull', False), ('kind', 'cloth')), models.Q(models.Q(('kind', 'cloth'), _negated=True), ('cloth_mm__isnull', True)), _connector='OR'), name='cloth_has_its_width_and_nothing_else_has')],
            },
        ),
        migrations.CreateModel(
            name='JobEnding',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('what', models.CharField(choices=[('cut', 'Cut'), ('dropped', 'Given up')], max_length=10)),
                ('once', models.UUIDField(unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now)),
                ('job', models.OneToOneField(on_delete=django.db.models.deletion.PROTECT, related_name='ending', to='builds.cuttingjob')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='job_endings', to=settings.AUTH_USER_MODEL)),
                ('run', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='builds.cuttingrun')),
            ],
            options={
                'constraints': [models.CheckConstraint(condition=models.Q(models.Q(('run__isnull', False), ('what', 'cut')), models.Q(('run__isnull', True), ('what', 'dropped')), _connector='OR'), name='what_was_cut_has_a_plan')],
            },
        ),
        migrations.CreateModel(
            name='Kit',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('linen_sets', models.PositiveSmallIntegerField(default=2, validators=[django.core.validators.MinValueValidator(1), django.core.validators.MaxValueValidator(6)])),
                ('build', models.OneToOneField(on_delete=django.db.models.deletion.CASCADE, related_name='kit', to='builds.build')),
                ('liner_kind', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='habitats.linenkind')),
                ('towel_kind', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='habitats.linenkind')),
            ],
            options={
                'constraints': [models.CheckConstraint(condition=models.Q(('linen_sets__gte', 1)), name='a_kit_has_linens_to_lie_on')],
            },
        ),
        migrations.CreateModel(
            name='KitLink',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('once', models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('secret', models.CharField(default=builds.kits.models.kit_links._new_secret, editable=False, max_length=40, unique=True)),
                ('expires_on', models.DateField()),
                ('may_tick', models.BooleanField()),
                ('revoked_at', models.DateTimeField(editable=False, null=True)),
                ('build', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='kit_links', to='builds.build')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('revoked_by', models.ForeignKey(editable=False, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'constraints': [models.CheckConstraint(condition=models.Q(models.Q(('revoked_at__isnull', True), ('revoked_by__isnull', True)), models.Q(('revoked_at__isnull', False), ('revoked_by__isnull', False)), _connector='OR'), name='a_kit_link_is_revoked_by_somebody')],
            },
        ),
        migrations.CreateModel(
            name='KitReceipt',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('once', models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('received_by', models.CharField(max_length=60)),
                ('handed_by', models.CharField(max_length=80)),
                ('on', models.DateField()),
                ('signed', models.CharField(blank=True, max_length=80)),
                ('is_on_paper', models.BooleanField(default=False)),
                ('missing', models.JSONField(default=list)),
                ('note', models.CharField(blank=True, max_length=200)),
                ('build', models.OneToOneField(on_delete=django.db.models.deletion.PROTECT, related_name='receipt', to='builds.build')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'constraints': [models.CheckConstraint(condition=models.Q(('handed_by', ''), ('received_by', ''), _negated=True), name='a_receipt_names_both'), models.CheckConstraint(condition=models.Q(('is_on_paper', True), models.Q(('signed', ''), _negated=True), _connector='OR'), name='a_receipt_is_signed')],
            },
        ),
        migrations.CreateModel(
            name='KitTick',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('once', models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('what', models.CharField(max_length=120)),
                ('count', models.PositiveIntegerField()),
                ('build', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='kit_ticks', to='builds.build')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'indexes': [models.Index(fields=['build', 'what', '-id'], name='kit_tick_latest')],
                'constraints': [models.CheckConstraint(condition=models.Q(('what', ''), _negated=True), name='a_kit_tick_is_of_a_line')],
            },
        ),
        migrations.CreateModel(
            name='KitWeighing',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('once', models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('grams', models.PositiveIntegerField()),
                ('is_whole', models.BooleanField()),
                ('build', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='kit_weighings', to='builds.build')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'constraints': [models.CheckConstraint(condition=models.Q(('grams__gt', 0)), name='a_kit_weighs_something')],
            },
        ),
        migrations.CreateModel(
            name='Place',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('code', models.CharField(max_length=12, unique=True, validators=[django.core.validators.RegexValidator('^[A-Z0-9][A-Z0-9-]{0,11}$', 'A code has up to 12 capital letters, digits and dashes, such as A1 or LOFT-2.')])),
                ('name', models.CharField(max_length=60, unique=True)),
                ('note', models.CharField(blank=True, max_length=200)),
                ('is_put_away', models.BooleanField(default=False, editable=False)),
            ],
            options={
                'constraints': [models.CheckConstraint(condition=models.Q(models.Q(('code', ''), _negated=True), models.Q(('name', ''), _negated=True)), name='place_has_code_and_name')],
            },
        ),
        migrations.CreateModel(
            name='Pull',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('once', models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('uncounted', models.JSONField(default=list)),
                ('build', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='pulls', to='builds.build')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('plan', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='pulls', to='builds.buildplan')),
            ],
            options={
                'indexes': [models.Index(fields=['build', '-id'], name='pull_latest')],
            },
        ),
        migrations.CreateModel(
            name='PullEnd',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('once', models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('how', models.CharField(choices=[('complete', 'Complete'), ('short', 'Closed short'), ('replanned', 'Planned anew'), ('given up', 'Given up')], max_length=10)),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('pull', models.OneToOneField(on_delete=django.db.models.deletion.PROTECT, related_name='end', to='builds.pull')),
            ],
            options={
                'constraints': [models.CheckConstraint(condition=models.Q(('how__in', ['complete', 'short', 'replanned', 'given up'])), name='pull_end_is_known')],
            },
        ),
        migrations.CreateModel(
            name='Repair',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('once', models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('code', models.CharField(max_length=40)),
                ('what', models.CharField(max_length=300)),
                ('build', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='repairs', to='builds.build')),
                ('inspection', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='repairs', to='builds.inspection')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'constraints': [models.UniqueConstraint(fields=('inspection', 'code'), name='one_repair_a_point')],
            },
        ),
        migrations.CreateModel(
            name='RepairDone',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('on', models.DateField()),
                ('note', models.CharField(blank=True, max_length=300)),
                ('by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('repair', models.OneToOneField(on_delete=django.db.models.deletion.PROTECT, related_name='done', to='builds.repair')),
            ],
        ),
        migrations.CreateModel(
            name='SheetKind',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('name', models.CharField(max_length=40)),
                ('width_mm', models.PositiveIntegerField()),
                ('height_mm', models.PositiveIntegerField()),
                ('thickness_mm', models.DecimalField(decimal_places=1, max_digits=3)),
                ('cost', models.DecimalField(decimal_places=2, max_digits=8, validators=[django.core.validators.MinValueValidator(0)])),
                ('retired_at', models.DateTimeField(blank=True, null=True)),
                ('item', models.OneToOneField(editable=False, on_delete=django.db.models.deletion.PROTECT, related_name='sheet', to='builds.item')),
            ],
            options={
                'constraints': [models.CheckConstraint(condition=models.Q(('height_mm__range', (100, 5000)), ('width_mm__range', (100, 5000))), name='sheet_size_is_sane'), models.CheckConstraint(condition=models.Q(('thickness_mm__gt', 0)), name='sheet_has_a_thickness'), models.CheckConstraint(condition=models.Q(('cost__gte', 0)), name='sheet_cost_is_not_negative'), models.CheckConstraint(condition=models.Q(('name', ''), _negated=True), name='sheet_has_a_name'), models.UniqueConstraint(fields=('name', 'width_mm', 'height_mm', 'thickness_mm'), name='one_sheet_kind_a_name_and_size')],
            },
        ),
        migrations.CreateModel(
            name='Offcut',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('label', models.CharField(editable=False, max_length=4, unique=True)),
                ('width_mm', models.PositiveIntegerField()),
                ('height_mm', models.PositiveIntegerField()),
                ('once', models.UUIDField(unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now)),
                ('from_job', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='offcuts', to='builds.cuttingjob')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='offcuts', to=settings.AUTH_USER_MODEL)),
                ('place', models.ForeignKey(editable=False, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='offcuts', to='builds.place')),
                ('kind', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='offcuts', to='builds.sheetkind')),
            ],
            options={
                'constraints': [models.CheckConstraint(condition=models.Q(('height_mm__range', (1, 5000)), ('width_mm__range', (1, 5000))), name='offcut_size_is_sane')],
            },
        ),
        migrations.CreateModel(
            name='OffcutClaim',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('job', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='claims', to='builds.cuttingjob')),
                ('offcut', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='claims', to='builds.offcut')),
            ],
            options={
                'constraints': [models.UniqueConstraint(fields=('job', 'offcut'), name='one_claim_a_job_and_offcut')],
            },
        ),
        migrations.CreateModel(
            name='OffcutMove',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('what', models.CharField(choices=[('stored', 'Put'), ('cut', 'Cut up'), ('scrapped', 'Thrown away')], max_length=10)),
                ('once', models.UUIDField(unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now)),
                ('job', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='offcuts_used', to='builds.cuttingjob')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='offcut_moves', to=settings.AUTH_USER_MODEL)),
                ('offcut', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='moves', to='builds.offcut')),
                ('place', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='builds.place')),
            ],
            options={
                'ordering': ['offcut', 'pk'],
                'constraints': [models.UniqueConstraint(condition=models.Q(('what__in', ['cut', 'scrapped'])), fields=('offcut',), name='an_offcut_ends_once'), models.CheckConstraint(condition=models.Q(models.Q(('job__isnull', False), ('what', 'cut')), models.Q(models.Q(('what', 'cut'), _negated=True), ('job__isnull', True)), _connector='OR'), name='an_offcut_is_cut_for_a_job')],
            },
        ),
        migrations.CreateModel(
            name='Shortage',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('once', models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('step_key', models.CharField(blank=True, max_length=12)),
                ('at', models.DateTimeField()),
                ('kind', models.CharField(choices=[('missing', 'Missing'), ('damaged', 'Damaged')], max_length=10)),
                ('what', models.CharField(max_length=120)),
                ('count', models.PositiveIntegerField()),
                ('note', models.CharField(blank=True, max_length=300)),
                ('build', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='%(class)ss', to='builds.build')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'constraints': [models.CheckConstraint(condition=models.Q(('count__gt', 0)), name='shortage_counts'), models.CheckConstraint(condition=models.Q(('kind__in', ['missing', 'damaged'])), name='shortage_kind_is_known')],
            },
        ),
        migrations.CreateModel(
            name='PullLine',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('wanted', models.PositiveIntegerField()),
                ('item', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='pull_lines', to='builds.item')),
                ('pull', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='lines', to='builds.pull')),
                ('shortage', models.OneToOneField(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='line', to='builds.shortage')),
            ],
            options={
                'ordering': ['pull', 'pk'],
                'constraints': [models.CheckConstraint(condition=models.Q(('wanted__gt', 0)), name='pull_line_wants_some'), models.UniqueConstraint(condition=models.Q(('shortage__isnull', True)), fields=('pull', 'item'), name='one_pull_line_an_item')],
            },
        ),
        migrations.CreateModel(
            name='ShortPick',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('once', models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('count', models.PositiveIntegerField()),
                ('why', models.CharField(choices=[('missing', 'Not there'), ('instead', 'Something else serves'), ('unneeded', 'Not needed')], max_length=10)),
                ('note', models.CharField(blank=True, max_length=200)),
                ('instead', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='builds.item')),
                ('item', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='builds.item')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('pull', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='shorts', to='builds.pull')),
            ],
            options={
                'constraints': [models.CheckConstraint(condition=models.Q(('count__gt', 0)), name='short_pick_counts'), models.CheckConstraint(condition=models.Q(('why__in', ['missing', 'instead', 'unneeded'])), name='short_pick_why_is_known'), models.CheckConstraint(condition=models.Q(('why', 'instead'), ('instead__isnull', True), _connector='OR'), name='only_what_serves_instead_is_named')],
            },
        ),
        migrations.CreateModel(
            name='Start',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('once', models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('step_key', models.CharField(blank=True, max_length=12)),
                ('at', models.DateTimeField()),
                ('build', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='%(class)ss', to='builds.build')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'constraints': [models.CheckConstraint(condition=models.Q(('step_key', ''), _negated=True), name='a_start_is_of_a_step')],
            },
        ),
        migrations.CreateModel(
            name='Stock',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('on_hand', models.PositiveIntegerField(default=0)),
                ('reserved', models.PositiveIntegerField(default=0)),
                ('number', models.PositiveIntegerField(default=0)),
                ('moved_at', models.DateTimeField(null=True)),
                ('counted_at', models.DateTimeField(null=True)),
                ('item', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='stocks', to='builds.item')),
                ('place', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='stocks', to='builds.place')),
            ],
            options={
                'constraints': [models.UniqueConstraint(fields=('item', 'place'), name='one_stock_an_item_and_place'), models.CheckConstraint(condition=models.Q(('on_hand__gte', models.F('reserved')), ('reserved__gte', 0)), name='stock_holds_what_is_reserved')],
            },
        ),
        migrations.CreateModel(
            name='Stocktake',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('once', models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('place', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='stocktakes', to='builds.place')),
            ],
            options={
                'indexes': [models.Index(fields=['place', '-made_at'], name='stocktake_of_place')],
            },
        ),
        migrations.CreateModel(
            name='StrayAct',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('once', models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('payload', models.JSONField()),
                ('image', models.ImageField(blank=True, upload_to='builds/strays/')),
                ('why', models.CharField(max_length=300)),
                ('build', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='strays', to='builds.build')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='Supplier',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('name', models.CharField(max_length=80, unique=True)),
                ('note', models.CharField(blank=True, max_length=300, verbose_name='how to order')),
                ('is_put_away', models.BooleanField(default=False, editable=False)),
            ],
            options={
                'constraints': [models.CheckConstraint(condition=models.Q(('name', ''), _negated=True), name='supplier_has_a_name')],
            },
        ),
        migrations.CreateModel(
            name='Delivery',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('once', models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('note', models.CharField(blank=True, max_length=200)),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('place', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='deliveries', to='builds.place')),
                ('supplier', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='deliveries', to='builds.supplier')),
            ],
            options={
                'verbose_name_plural': 'deliveries',
            },
        ),
        migrations.CreateModel(
            name='DeliveryReversal',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('once', models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('note', models.CharField(blank=True, max_length=200)),
                ('delivery', models.OneToOneField(on_delete=django.db.models.deletion.PROTECT, related_name='reversal', to='builds.delivery')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='Movement',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('once', models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('number', models.PositiveIntegerField()),
                ('why', models.CharField(choices=[('in', 'Came in'), ('out', 'Taken'), ('reserve', 'Reserved'), ('release', 'No longer reserved'), ('move', 'Moved'), ('count', 'Counted'), ('scrap', 'Scrapped'), ('cut', 'Cut up'), ('found', 'Found when cutting'), ('reversed', 'Delivery reversed')], max_length=10)),
                ('on_hand_change', models.IntegerField(default=0)),
                ('reserved_change', models.IntegerField(default=0)),
                ('on_hand', models.PositiveIntegerField()),
                ('reserved', models.PositiveIntegerField()),
                ('note', models.CharField(blank=True, max_length=200)),
                ('build', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='movements', to='builds.build')),
                ('delivery', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='movements', to='builds.delivery')),
                ('item', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='movements', to='builds.item')),
                ('job', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='movements', to='builds.cuttingjob')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('other', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='builds.place')),
                ('place', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='movements', to='builds.place')),
                ('pull', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='movements', to='builds.pull')),
                ('stocktake', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='movements', to='builds.stocktake')),
            ],
            options={
                'indexes': [models.Index(fields=['item', '-made_at', '-number'], name='movement_of_item'), models.Index(fields=['place', 'item', '-made_at', '-number'], name='movement_in_place'), models.Index(condition=models.Q(('reserved_change', 0), _negated=True), fields=['item', 'place'], name='movement_reserving')],
                'constraints': [models.UniqueConstraint(fields=('item', 'place', 'number'), name='one_number_a_movement_there'), models.CheckConstraint(condition=models.Q(('on_hand__gte', models.F('reserved')), ('reserved__gte', 0)), name='ledger_holds_what_is_reserved'), models.CheckConstraint(condition=models.Q(models.Q(('on_hand_change__gt', 0), ('reserved_change', 0), ('why__in', ['in', 'found'])), models.Q(('on_hand_change__lt', 0), ('reserved_change__gte', models.F('on_hand_change')), ('reserved_change__lte', 0), ('why__in', ['out', 'cut'])), models.Q(('on_hand_change__lt', 0), ('reserved_change', 0), ('why__in', ['scrap', 'reversed'])), models.Q(('on_hand_change', 0), ('reserved_change__gt', 0), ('why', 'reserve')), models.Q(('on_hand_change', 0), ('reserved_change__lt', 0), ('why', 'release')), models.Q(('reserved_change', 0), ('why', 'count')), models.Q(('on_hand_change__gt', 0), ('reserved_change__gte', 0), ('reserved_change__lte', models.F('on_hand_change')), ('why', 'move')), models.Q(('on_hand_change__lt', 0), ('reserved_change__gte', models.F('on_hand_change')), ('reserved_change__lte', 0), ('why', 'move')), _connector='OR'), name='movement_goes_its_way'), models.CheckConstraint(condition=models.Q(models.Q(('other__isnull', False), ('why', 'move'), models.Q(('other', models.F('place')), _negated=True)), models.Q(models.Q(('why', 'move'), _negated=True), ('other__isnull', True)), _connector='OR'), name='a_move_has_two_places'), models.CheckConstraint(condition=models.Q(models.Q(('why__in', ['cut', 'found']), _negated=True), ('job__isnull', False), _connector='OR'), name='what_is_cut_is_cut_for_a_job'), models.CheckConstraint(condition=models.Q(models.Q(('delivery__isnull', False), ('why__in', ['in', 'reversed'])), models.Q(models.Q(('why', 'reversed'), _negated=True), ('delivery__isnull', True)), _connector='OR'), name='what_is_reversed_is_of_a_delivery'), models.CheckConstraint(condition=models.Q(('stocktake__isnull', True), ('why', 'count'), _connector='OR'), name='a_stocktake_counts')],
            },
        ),
        migrations.CreateModel(
            name='PackOffer',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('count', models.PositiveIntegerField(validators=[django.core.validators.MinValueValidator(1), django.core.validators.MaxValueValidator(100000)])),
                ('price', models.DecimalField(decimal_places=2, max_digits=8, validators=[django.core.validators.MinValueValidator(Decimal('0')), django.core.validators.MaxValueValidator(Decimal('999999.99'))])),
                ('number', models.CharField(blank=True, max_length=40)),
                ('at_most', models.PositiveIntegerField(blank=True, null=True, validators=[django.core.validators.MinValueValidator(1), django.core.validators.MaxValueValidator(100000)])),
                ('is_put_away', models.BooleanField(default=False, editable=False)),
                ('item', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='packs', to='builds.item')),
                ('supplier', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='packs', to='builds.supplier')),
            ],
            options={
                'constraints': [models.CheckConstraint(condition=models.Q(('count__range', (1, 100000))), name='pack_holds_something'), models.CheckConstraint(condition=models.Q(('price__gte', 0)), name='pack_price_is_not_negative'), models.CheckConstraint(condition=models.Q(('at_most__isnull', True), ('at_most__gte', 1), _connector='OR'), name='pack_supply_is_some'), models.UniqueConstraint(fields=('supplier', 'item', 'count'), name='one_pack_a_supplier_item_and_count')],
            },
        ),
        migrations.CreateModel(
            name='Tick',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('once', models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('step_key', models.CharField(blank=True, max_length=12)),
                ('at', models.DateTimeField()),
                ('is_done', models.BooleanField(default=True)),
                ('build', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='%(class)ss', to='builds.build')),
                ('link', models.ForeignKey(editable=False, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='ticks', to='builds.kitlink')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'indexes': [models.Index(fields=['build', 'step_key', '-id'], name='tick_latest')],
                'constraints': [models.CheckConstraint(condition=models.Q(('step_key', ''), _negated=True), name='a_tick_is_of_a_step')],
            },
        ),
        migrations.CreateModel(
            name='Overtaken',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('once', models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('read_at', models.DateTimeField(editable=False, null=True)),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('stands', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='builds.tick')),
                ('tick', models.OneToOneField(on_delete=django.db.models.deletion.PROTECT, related_name='overtaken', to='builds.tick')),
            ],
            options={
                'abstract': False,
            },
        ),
    ]
