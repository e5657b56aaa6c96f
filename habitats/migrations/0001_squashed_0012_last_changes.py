"""All tables as they were when the migrations before were squashed. Never rewritten."""

import django.contrib.auth.models
import django.contrib.auth.validators
import django.core.serializers.json
import django.core.validators
import django.db.models.deletion
import django.utils.timezone
import habitats.rotation.states
import uuid
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    initial = True

    # A database at the last of these goes on from here; one before it is refused, by
    # habitats/older.py, with the version to install first.
    replaces = [
        ("habitats", "0001_people"),
        ("habitats", "0002_designs"),
        ("habitats", "0003_homes_and_animals"),
        ("habitats", "0004_linens"),
        ("habitats", "0005_lay_spots"),
        ("habitats", "0006_calendar_feeds"),
        ("habitats", "0007_traces"),
        ("habitats", "0008_faults"),
        ("habitats", "0009_alterations"),
        ("habitats", "0010_weighings_in_the_order_taken"),
        ("habitats", "0011_washes_in_a_row"),
        ("habitats", "0012_last_changes"),
    ]

    dependencies = [
        ('auth', '0012_alter_user_first_name_max_length'),
    ]

    operations = [
        migrations.CreateModel(
            name='Component',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('kind', models.CharField(choices=[('panel', 'Panels'), ('connector', 'Connectors'), ('ramp', 'Ramps'), ('tray', 'Trays'), ('tie', 'Ties')], max_length=10)),
                ('count', models.PositiveIntegerField()),
                ('fitted_on', models.DateField(blank=True, null=True)),
            ],
        ),
        migrations.CreateModel(
            name='Person',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('password', models.CharField(max_length=128, verbose_name='password')),
                ('last_login', models.DateTimeField(blank=True, null=True, verbose_name='last login')),
                ('is_superuser', models.BooleanField(default=False, help_text='Designates that this user has all permissions without explicitly assigning them.', verbose_name='superuser status')),
                ('username', models.CharField(error_messages={'unique': 'A user with that username already exists.'}, help_text='Required. 150 characters or fewer. Letters, digits and @/./+/-/_ only.', max_length=150, unique=True, validators=[django.contrib.auth.validators.UnicodeUsernameValidator()], verbose_name='username')),
                ('first_name', models.CharField(blank=True, max_length=150, verbose_name='first name')),
                ('last_name', models.CharField(blank=True, max_length=150, verbose_name='last name')),
                ('email', models.EmailField(blank=True, max_length=254, verbose_name='email address')),
                ('is_staff', models.BooleanField(default=False, help_text='Designates whether the user can log into this admin site.', verbose_name='staff status')),
                ('is_active', models.BooleanField(default=True, help_text='Designates whether this user should be treated as active. Unselect this instead of deleting accounts.', verbose_name='active')),
                ('date_joined', models.DateTimeField(default=django.utils.timezone.now, verbose_name='date joined')),
                ('role', models.CharField(choices=[('coordinator', 'Coordinator'), ('builder', 'Builder'), ('foster', 'Foster'), ('laundry', 'Laundry volunteer')], default='builder', max_length=20)),
                ('units', models.CharField(choices=[('metric', 'Millimetres'), ('inches', 'Inches')], default='metric', max_length=10, verbose_name='lengths in')),
                ('paper', models.CharField(choices=[('A4', 'A4'), ('Letter', 'Letter')], default='A4', max_length=10, verbose_name='print on')),
                ('groups', models.ManyToManyField(blank=True, help_text='The groups this user belongs to. A user will get all permissions granted to each of their groups.', related_name='user_set', related_query_name='user', to='auth.group', verbose_name='groups')),
                ('user_permissions', models.ManyToManyField(blank=True, help_text='Specific permissions for this user.', related_name='user_set', related_query_name='user', to='auth.permission', verbose_name='user permissions')),
            ],
            options={
                'verbose_name': 'person',
                'verbose_name_plural': 'people',
            },
            managers=[
                ('objects', django.contrib.auth.models.UserManager()),
            ],
        ),
        migrations.CreateModel(
            name='Animal',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('code', models.CharField(editable=False, max_length=6, unique=True)),
                ('own_id', models.CharField(blank=True, max_length=40, verbose_name='your own number')),
                ('name', models.CharField(max_length=60)),
                ('species', models.CharField(choices=[('guinea_pig', 'guinea_pig'), ('rabbit', 'rabbit')], max_length=20)),
                ('sex', models.CharField(blank=True, choices=[('F', 'Female'), ('M', 'Male')], max_length=1)),
                ('born', models.DateField(blank=True, null=True)),
                ('born_margin_days', models.PositiveIntegerField(default=0, validators=[django.core.validators.MaxValueValidator(1095)])),
                ('came_on', models.DateField()),
                ('is_castrated', models.BooleanField(default=False)),
                ('castrated_on', models.DateField(blank=True, null=True)),
                ('castrated_before_maturity', models.BooleanField(default=False)),
                ('may_be_pregnant', models.BooleanField(default=False)),
                ('with_male_since', models.DateField(blank=True, null=True)),
                ('with_male_last', models.DateField(blank=True, null=True)),
                ('rhd_exposed_on', models.DateField(blank=True, null=True)),
                ('rhd_negative_on', models.DateField(blank=True, null=True)),
                ('adult_grams', models.PositiveIntegerField(blank=True, null=True)),
                ('notes', models.TextField(blank=True, max_length=4000)),
                ('photo', models.FileField(blank=True, editable=False, upload_to='animals')),
                ('left_on', models.DateField(blank=True, null=True)),
                ('left_why', models.CharField(blank=True, choices=[('adopted', 'Adopted'), ('passed on', 'Passed on to another rescue'), ('returned', 'Returned to its owner'), ('died', 'Died')], max_length=10)),
                ('once', models.UUIDField(editable=False, unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('made_by', models.ForeignKey(editable=False, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('mother', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='young', to='habitats.animal')),
            ],
        ),
        migrations.CreateModel(
            name='Birth',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('once', models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('on', models.DateField()),
                ('young', models.PositiveSmallIntegerField(validators=[django.core.validators.MaxValueValidator(20)])),
                ('note', models.CharField(blank=True, max_length=200)),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('mother', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='births', to='habitats.animal')),
            ],
        ),
        migrations.CreateModel(
            name='CalendarFeed',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('secret', models.CharField(editable=False, max_length=40, unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('revoked_at', models.DateTimeField(editable=False, null=True)),
                ('person', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='calendar_feeds', to=settings.AUTH_USER_MODEL)),
            ],
        ),
        migrations.CreateModel(
            name='ComponentCheck',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('once', models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('condition', models.CharField(choices=[('good', 'Good'), ('worn', 'Worn'), ('damaged', 'Damaged'), ('unsafe', 'Unsafe')], max_length=10)),
                ('on', models.DateField()),
                ('note', models.CharField(blank=True, max_length=300)),
                ('component', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='checks', to='habitats.component')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
        ),
        migrations.CreateModel(
            name='Design',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('name', models.CharField(max_length=120)),
                ('species', models.CharField(choices=[('guinea_pig', 'guinea_pig'), ('rabbit', 'rabbit')], max_length=20)),
                ('code', models.CharField(editable=False, max_length=6, unique=True)),
                ('archived_at', models.DateTimeField(blank=True, null=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('changed_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='designs', to=settings.AUTH_USER_MODEL)),
            ],
        ),
        migrations.CreateModel(
            name='DesignRevision',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('number', models.PositiveIntegerField()),
                ('document', models.JSONField(encoder=django.core.serializers.json.DjangoJSONEncoder)),
                ('is_sound', models.BooleanField()),
                ('once', models.UUIDField(unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now)),
                ('design', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='revisions', to='habitats.design')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='design_revisions', to=settings.AUTH_USER_MODEL)),
                ('parent', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='children', to='habitats.designrevision')),
                ('sound_before', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='habitats.designrevision')),
            ],
            options={
                'ordering': ['design', 'number'],
            },
        ),
        migrations.AddField(
            model_name='design',
            name='current',
            field=models.ForeignKey(editable=False, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='habitats.designrevision'),
        ),
        migrations.CreateModel(
            name='Enclosure',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('code', models.CharField(editable=False, max_length=6, unique=True)),
                ('own_id', models.CharField(blank=True, max_length=40, verbose_name='your own number')),
                ('label', models.CharField(max_length=60)),
                ('notes', models.TextField(blank=True, max_length=2000)),
                ('once', models.UUIDField(editable=False, unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('made_by', models.ForeignKey(editable=False, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('revision', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='enclosures', to='habitats.designrevision')),
            ],
        ),
        migrations.AddField(
            model_name='component',
            name='enclosure',
            field=models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='components', to='habitats.enclosure'),
        ),
        migrations.CreateModel(
            name='ChangePlan',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('interval_days', models.PositiveSmallIntegerField()),
                ('enclosure', models.OneToOneField(on_delete=django.db.models.deletion.CASCADE, related_name='change_plan', to='habitats.enclosure')),
            ],
        ),
        migrations.CreateModel(
            name='Alteration',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('once', models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('on', models.DateField()),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('after', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='habitats.designrevision')),
                ('before', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='habitats.designrevision')),
                ('enclosure', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='alterations', to='habitats.enclosure')),
            ],
        ),
        migrations.CreateModel(
            name='EnclosureEvent',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('once', models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('state', models.CharField(choices=[('planned', 'Planned'), ('building', 'Building'), ('standing', 'Standing'), ('in use', 'In use'), ('repair', 'Needs repair'), ('retired', 'Retired')], max_length=10)),
                ('on', models.DateField()),
                ('note', models.CharField(blank=True, max_length=300)),
                ('enclosure', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='events', to='habitats.enclosure')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
        ),
        migrations.CreateModel(
            name='Fault',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('once', models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('kind', models.CharField(choices=[('wire', 'Sharp wire end'), ('panel', 'Bent or broken panel'), ('connector', 'Loose or broken connector'), ('tie', 'Loose or missing tie'), ('gap', 'Gap in a wall'), ('floor', 'Upper floor that sags'), ('tray', 'Chewed or split tray'), ('tape', 'Tape that lifts'), ('ramp', 'Loose ramp'), ('grip', 'Slippery ramp'), ('doorway', 'Rough or torn doorway'), ('guard', 'Loose or missing guard'), ('lid', 'Lid that does not hold'), ('other', 'Something else')], max_length=12)),
                ('urgency', models.CharField(choices=[('unsafe', 'Unsafe now'), ('soon', 'Mend soon'), ('convenient', 'When convenient')], max_length=12)),
                ('note', models.CharField(blank=True, max_length=300)),
                ('z', models.PositiveSmallIntegerField(null=True)),
                ('x_mm', models.IntegerField(null=True)),
                ('y_mm', models.IntegerField(null=True)),
                ('photo', models.FileField(blank=True, upload_to='faults')),
                ('on', models.DateField()),
                ('enclosure', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='faults', to='habitats.enclosure')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('revision', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='habitats.designrevision')),
            ],
        ),
        migrations.CreateModel(
            name='FaultMended',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('once', models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('on', models.DateField()),
                ('note', models.CharField(blank=True, max_length=300)),
                ('fault', models.OneToOneField(on_delete=django.db.models.deletion.PROTECT, related_name='mended', to='habitats.fault')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='Group',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('code', models.CharField(editable=False, max_length=6, unique=True)),
                ('name', models.CharField(blank=True, max_length=60)),
                ('species', models.CharField(choices=[('guinea_pig', 'guinea_pig'), ('rabbit', 'rabbit')], max_length=20)),
                ('notes', models.TextField(blank=True, max_length=2000)),
                ('once', models.UUIDField(editable=False, unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('made_by', models.ForeignKey(editable=False, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
        ),
        migrations.CreateModel(
            name='Home',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('code', models.CharField(editable=False, max_length=6, unique=True)),
                ('own_id', models.CharField(blank=True, max_length=40, verbose_name='your own number')),
                ('kind', models.CharField(choices=[('foster', 'Foster household'), ('depot', 'Depot of the rescue')], default='foster', max_length=10)),
                ('name', models.CharField(max_length=60)),
                ('area', models.CharField(blank=True, max_length=60)),
                ('most_enclosures', models.PositiveIntegerField(default=1, validators=[django.core.validators.MaxValueValidator(200)])),
                ('largest_width_mm', models.PositiveIntegerField(blank=True, null=True, validators=[django.core.validators.MinValueValidator(300), django.core.validators.MaxValueValidator(20000)])),
                ('largest_depth_mm', models.PositiveIntegerField(blank=True, null=True, validators=[django.core.validators.MinValueValidator(300), django.core.validators.MaxValueValidator(20000)])),
                ('other_pets', models.CharField(blank=True, max_length=120)),
                ('has_stairs', models.BooleanField(default=False)),
                ('has_isolation_room', models.BooleanField(default=False)),
                ('notes', models.TextField(blank=True, max_length=2000)),
                ('closed_on', models.DateField(blank=True, null=True)),
                ('once', models.UUIDField(editable=False, unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('made_by', models.ForeignKey(editable=False, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('people', models.ManyToManyField(blank=True, related_name='homes', to=settings.AUTH_USER_MODEL)),
            ],
        ),
        migrations.CreateModel(
            name='HomeContact',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('full_name', models.CharField(blank=True, max_length=120)),
                ('phone', models.CharField(blank=True, max_length=40)),
                ('email', models.EmailField(blank=True, max_length=254)),
                ('address', models.TextField(blank=True, max_length=400)),
                ('home', models.OneToOneField(on_delete=django.db.models.deletion.CASCADE, related_name='contact', to='habitats.home')),
            ],
        ),
        migrations.CreateModel(
            name='ImportFile',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('kind', models.CharField(max_length=12)),
                ('name', models.CharField(max_length=120)),
                ('content', models.BinaryField()),
                ('taken_at', models.DateTimeField(null=True)),
                ('made', models.PositiveIntegerField(default=0)),
                ('known', models.PositiveIntegerField(default=0)),
                ('left_out', models.PositiveIntegerField(default=0)),
                ('skipped', models.JSONField(default=list)),
                ('once', models.UUIDField(unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now)),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
        ),
        migrations.CreateModel(
            name='LastChange',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('subject', models.CharField(max_length=80)),
                ('fact', models.CharField(max_length=80)),
                ('mark', models.CharField(db_index=True, max_length=12)),
                ('made_at', models.DateTimeField()),
                ('letter', models.CharField(max_length=64)),
                ('answer', models.CharField(max_length=500)),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
        ),
        migrations.CreateModel(
            name='LinenChange',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('once', models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('on', models.DateField()),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
        ),
        migrations.CreateModel(
            name='LinenKind',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('name', models.CharField(max_length=60, unique=True)),
                ('sort', models.CharField(choices=[('liner', 'Liner'), ('towel', 'Towel'), ('pad', 'Pad'), ('cover', 'Cover')], max_length=10)),
                ('fibre', models.CharField(choices=[('cotton', 'Cotton'), ('synthetic', 'Synthetic, or mixed')], default='synthetic', max_length=10)),
                ('layers', models.PositiveSmallIntegerField(default=1, validators=[django.core.validators.MinValueValidator(1), django.core.validators.MaxValueValidator(8)])),
                ('grams_per_m2', models.PositiveSmallIntegerField(validators=[django.core.validators.MinValueValidator(20), django.core.validators.MaxValueValidator(2000)])),
                ('shrink_length', models.SmallIntegerField(default=0, validators=[django.core.validators.MinValueValidator(-100), django.core.validators.MaxValueValidator(300)])),
                ('shrink_width', models.SmallIntegerField(default=0, validators=[django.core.validators.MinValueValidator(-100), django.core.validators.MaxValueValidator(300)])),
                ('most_washes', models.PositiveSmallIntegerField(default=100, validators=[django.core.validators.MinValueValidator(1), django.core.validators.MaxValueValidator(2000)])),
                ('put_away_on', models.DateField(blank=True, editable=False, null=True)),
            ],
            options={
                'constraints': [models.CheckConstraint(condition=models.Q(('name', ''), _negated=True), name='linen_kind_has_a_name'), models.CheckConstraint(condition=models.Q(('sort__in', ['liner', 'towel', 'pad', 'cover'])), name='linen_sort_is_known'), models.CheckConstraint(condition=models.Q(('fibre__in', ['cotton', 'synthetic'])), name='linen_fibre_is_known')],
            },
        ),
        migrations.CreateModel(
            name='LinenSize',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('sort', models.CharField(choices=[('liner', 'Liner'), ('towel', 'Towel'), ('pad', 'Pad'), ('cover', 'Cover')], max_length=10)),
                ('width_mm', models.PositiveIntegerField()),
                ('length_mm', models.PositiveIntegerField()),
            ],
            options={
                'constraints': [models.UniqueConstraint(fields=('sort', 'width_mm', 'length_mm'), name='one_linen_size_a_measure'), models.CheckConstraint(condition=models.Q(('length_mm__gt', 0), ('width_mm__gt', 0)), name='linen_size_is_a_size'), models.CheckConstraint(condition=models.Q(('sort__in', ['liner', 'towel', 'pad', 'cover'])), name='linen_size_sort_is_known')],
            },
        ),
        migrations.CreateModel(
            name='LookOver',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('once', models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('on', models.DateField()),
                ('answers', models.JSONField()),
                ('enclosure', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='looks', to='habitats.enclosure')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
        ),
        migrations.AddField(
            model_name='fault',
            name='look',
            field=models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='faults', to='habitats.lookover'),
        ),
        migrations.CreateModel(
            name='Membership',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('once', models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('since', models.DateField()),
                ('until', models.DateField(editable=False, null=True)),
                ('ended_at', models.DateTimeField(editable=False, null=True)),
                ('animal', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='memberships', to='habitats.animal')),
                ('ended_by', models.ForeignKey(editable=False, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('group', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='memberships', to='habitats.group')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='Override',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('once', models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('key', models.CharField(max_length=200)),
                ('sentence', models.CharField(max_length=500)),
                ('reason', models.CharField(max_length=300)),
                ('is_block', models.BooleanField()),
                ('confirmed', models.BooleanField(default=False)),
                ('group', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='overrides', to='habitats.group')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
        ),
        migrations.CreateModel(
            name='Pool',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('code', models.CharField(editable=False, max_length=6, unique=True)),
                ('name', models.CharField(max_length=60, unique=True)),
                ('weekdays', models.PositiveSmallIntegerField(default=9, verbose_name='wash days')),
                ('loads_a_day', models.PositiveSmallIntegerField(default=2, validators=[django.core.validators.MaxValueValidator(100)])),
                ('cotton_g', models.PositiveIntegerField(default=8000, validators=[django.core.validators.MinValueValidator(500), django.core.validators.MaxValueValidator(200000)])),
                ('synthetic_percent', models.PositiveSmallIntegerField(default=50, validators=[django.core.validators.MinValueValidator(10), django.core.validators.MaxValueValidator(100)])),
                ('washing_days', models.PositiveSmallIntegerField(default=0, validators=[django.core.validators.MaxValueValidator(14)])),
                ('drying_days', models.PositiveSmallIntegerField(default=1, validators=[django.core.validators.MaxValueValidator(14)])),
                ('closed_on', models.DateField(blank=True, null=True)),
                ('home', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='pools_kept', to='habitats.home')),
            ],
        ),
        migrations.CreateModel(
            name='Linen',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('label', models.CharField(editable=False, max_length=5, unique=True)),
                ('cut_width_mm', models.PositiveIntegerField(blank=True, null=True)),
                ('cut_length_mm', models.PositiveIntegerField(blank=True, null=True)),
                ('state', models.CharField(choices=[('new', 'New'), ('first-washed', 'First-washed'), ('clean', 'Clean'), ('in use', 'In use'), ('soiled', 'Soiled'), ('washing', 'Washing'), ('drying', 'Drying'), ('dry', 'Dry'), ('set aside', 'Set aside'), ('mending', 'Mending'), ('retired', 'Retired'), ('lost', 'Lost')], max_length=14)),
                ('since', models.DateField()),
                ('washes', models.PositiveIntegerField(default=0, editable=False)),
                ('suspicion', models.CharField(blank=True, choices=[('ringworm', 'Ringworm'), ('other', 'An infection other than ringworm'), ('unknown', 'An unknown infection')], editable=False, max_length=12)),
                ('once', models.UUIDField(editable=False, unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('made_by', models.ForeignKey(editable=False, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('kind', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='linens', to='habitats.linenkind')),
                ('size', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='linens', to='habitats.linensize')),
                ('pool', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='linens', to='habitats.pool')),
            ],
        ),
        migrations.AddField(
            model_name='home',
            name='pool',
            field=models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.SET_NULL, related_name='homes', to='habitats.pool'),
        ),
        migrations.CreateModel(
            name='Programme',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('name', models.CharField(max_length=40)),
                ('temperature_c', models.PositiveSmallIntegerField(validators=[django.core.validators.MaxValueValidator(95)])),
                ('minutes', models.PositiveSmallIntegerField(validators=[django.core.validators.MinValueValidator(1), django.core.validators.MaxValueValidator(300)])),
                ('put_away_on', models.DateField(blank=True, editable=False, null=True)),
                ('pool', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='programmes', to='habitats.pool')),
            ],
        ),
        migrations.CreateModel(
            name='Load',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('once', models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('code', models.CharField(editable=False, max_length=6, unique=True)),
                ('on', models.DateField()),
                ('grams', models.PositiveIntegerField()),
                ('suspicion', models.CharField(blank=True, choices=[('ringworm', 'Ringworm'), ('other', 'An infection other than ringworm'), ('unknown', 'An unknown infection')], max_length=12)),
                ('in_a_row', models.PositiveSmallIntegerField(default=1)),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('pool', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='loads', to='habitats.pool')),
                ('programme', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='loads', to='habitats.programme')),
            ],
        ),
        migrations.CreateModel(
            name='Quarantine',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('once', models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('since', models.DateField()),
                ('until', models.DateField(blank=True, null=True)),
                ('why', models.CharField(choices=[('intake', 'New here'), ('illness', 'Ill, or may be')], default='intake', max_length=10)),
                ('note', models.CharField(blank=True, max_length=200)),
                ('together', models.CharField(blank=True, max_length=40)),
                ('animal', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='quarantines', to='habitats.animal')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
        ),
        migrations.CreateModel(
            name='Reading',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('day', models.DateField(db_index=True)),
                ('state', models.CharField(choices=[('planned', 'Planned'), ('building', 'Building'), ('standing', 'Standing'), ('in use', 'In use'), ('repair', 'Needs repair'), ('retired', 'Retired')], max_length=10)),
                ('species', models.CharField(max_length=20)),
                ('ground_mm2', models.PositiveIntegerField()),
                ('upper_mm2', models.PositiveIntegerField()),
                ('required_mm2', models.PositiveIntegerField(null=True)),
                ('counted_mm2', models.PositiveIntegerField(null=True)),
                ('lacking_mm2', models.PositiveIntegerField(default=0)),
                ('passes', models.BooleanField(null=True)),
                ('takes_pair', models.BooleanField(null=True)),
                ('floors', models.JSONField(default=list)),
                ('animals', models.PositiveSmallIntegerField()),
                ('residents', models.JSONField(default=list)),
                ('in_quarantine', models.BooleanField()),
                ('blocks', models.PositiveSmallIntegerField()),
                ('warnings', models.PositiveSmallIntegerField()),
                ('open_faults', models.PositiveSmallIntegerField(default=0)),
                ('unsafe_faults', models.PositiveSmallIntegerField(default=0)),
                ('dues', models.JSONField(default=list)),
                ('next_due', models.DateField(null=True)),
                ('urgency', models.PositiveSmallIntegerField()),
                ('enclosure', models.OneToOneField(on_delete=django.db.models.deletion.CASCADE, related_name='reading', to='habitats.enclosure')),
                ('group', models.ForeignKey(null=True, on_delete=django.db.models.deletion.CASCADE, related_name='readings', to='habitats.group')),
                ('home', models.ForeignKey(null=True, on_delete=django.db.models.deletion.CASCADE, related_name='readings', to='habitats.home')),
            ],
        ),
        migrations.CreateModel(
            name='Rescue',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('name', models.CharField(blank=True, max_length=80)),
                ('guinea_pig_rules', models.CharField(blank=True, max_length=40)),
                ('rabbit_rules', models.CharField(blank=True, max_length=40)),
                ('own_rules', models.JSONField(blank=True, default=dict)),
                ('quarantine_days', models.PositiveSmallIntegerField(default=14, validators=[django.core.validators.MinValueValidator(14), django.core.validators.MaxValueValidator(90)])),
                ('weigh_every_days', models.PositiveSmallIntegerField(default=7, validators=[django.core.validators.MinValueValidator(1), django.core.validators.MaxValueValidator(90)])),
                ('weight_alarm_percent', models.PositiveSmallIntegerField(default=10, validators=[django.core.validators.MinValueValidator(1), django.core.validators.MaxValueValidator(50)])),
                ('look_over_days', models.PositiveSmallIntegerField(default=30, validators=[django.core.validators.MinValueValidator(7), django.core.validators.MaxValueValidator(180)])),
            ],
            options={
                'constraints': [models.CheckConstraint(condition=models.Q(('pk', 1)), name='there_is_one_rescue'), models.CheckConstraint(condition=models.Q(('quarantine_days__gte', 14)), name='quarantine_is_long_enough'), models.CheckConstraint(condition=models.Q(('weigh_every_days__gte', 1)), name='animals_are_weighed'), models.CheckConstraint(condition=models.Q(('look_over_days__range', (7, 180))), name='enclosures_are_looked_over'), models.CheckConstraint(condition=models.Q(('weight_alarm_percent__range', (1, 50))), name='weight_alarm_is_a_share')],
            },
        ),
        migrations.CreateModel(
            name='ShrinkTest',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('once', models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('before_width_mm', models.PositiveIntegerField()),
                ('before_length_mm', models.PositiveIntegerField()),
                ('after_width_mm', models.PositiveIntegerField()),
                ('after_length_mm', models.PositiveIntegerField()),
                ('on', models.DateField()),
                ('kind', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='shrink_tests', to='habitats.linenkind')),
                ('linen', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='shrink_tests', to='habitats.linen')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
        ),
        migrations.CreateModel(
            name='Spot',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('key', models.CharField(max_length=40)),
                ('name', models.CharField(max_length=80)),
                ('is_lined', models.BooleanField(default=True)),
                ('gone_on', models.DateField(editable=False, null=True)),
                ('enclosure', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='spots', to='habitats.enclosure')),
                ('size', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='spots', to='habitats.linensize')),
            ],
        ),
        migrations.CreateModel(
            name='LinenRemark',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('once', models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('on', models.DateField()),
                ('note', models.CharField(max_length=300)),
                ('linen', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='remarks', to='habitats.linen')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('spot', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='habitats.spot')),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='LinenEvent',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('once', models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('state', models.CharField(choices=[('new', 'New'), ('first-washed', 'First-washed'), ('clean', 'Clean'), ('in use', 'In use'), ('soiled', 'Soiled'), ('washing', 'Washing'), ('drying', 'Drying'), ('dry', 'Dry'), ('set aside', 'Set aside'), ('mending', 'Mending'), ('retired', 'Retired'), ('lost', 'Lost')], max_length=14)),
                ('on', models.DateField()),
                ('washes', models.PositiveIntegerField()),
                ('suspicion', models.CharField(blank=True, choices=[('ringworm', 'Ringworm'), ('other', 'An infection other than ringworm'), ('unknown', 'An unknown infection')], max_length=12)),
                ('note', models.CharField(blank=True, max_length=300)),
                ('change', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='events', to='habitats.linenchange')),
                ('linen', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='events', to='habitats.linen')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('load', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='events', to='habitats.load')),
                ('pool', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='habitats.pool')),
                ('spot', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='events', to='habitats.spot')),
            ],
        ),
        migrations.AddField(
            model_name='linenchange',
            name='spot',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='changes', to='habitats.spot'),
        ),
        migrations.AddField(
            model_name='linen',
            name='spot',
            field=models.OneToOneField(editable=False, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='linen', to='habitats.spot'),
        ),
        migrations.CreateModel(
            name='SpotClean',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('once', models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('on', models.DateField()),
                ('enclosure', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='spot_cleans', to='habitats.enclosure')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
        ),
        migrations.CreateModel(
            name='Standing',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('once', models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('since', models.DateField()),
                ('until', models.DateField(editable=False, null=True)),
                ('ended_at', models.DateTimeField(editable=False, null=True)),
                ('enclosure', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='standings', to='habitats.enclosure')),
                ('ended_by', models.ForeignKey(editable=False, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('home', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='standings', to='habitats.home')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='Stay',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('once', models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('since', models.DateField()),
                ('until', models.DateField(editable=False, null=True)),
                ('ended_at', models.DateTimeField(editable=False, null=True)),
                ('enclosure', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='stays', to='habitats.enclosure')),
                ('ended_by', models.ForeignKey(editable=False, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('group', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='stays', to='habitats.group')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='Trace',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('once', models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('code', models.CharField(editable=False, max_length=6, unique=True)),
                ('since', models.DateField()),
                ('suspicion', models.CharField(choices=[('ringworm', 'Ringworm'), ('other', 'An infection other than ringworm'), ('unknown', 'An unknown infection')], max_length=12)),
                ('note', models.CharField(blank=True, max_length=300)),
                ('enclosure', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='traces', to='habitats.enclosure')),
                ('group', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='traces', to='habitats.group')),
                ('linen', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='traces', to='habitats.linen')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
        ),
        migrations.CreateModel(
            name='TraceEnd',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('once', models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('on', models.DateField(null=True)),
                ('reason', models.CharField(max_length=300)),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('trace', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='ends', to='habitats.trace')),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='TraceTick',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('once', models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('key', models.CharField(max_length=60)),
                ('is_done', models.BooleanField()),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('trace', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='ticks', to='habitats.trace')),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='Weighing',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('once', models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('grams', models.PositiveIntegerField(validators=[django.core.validators.MinValueValidator(20), django.core.validators.MaxValueValidator(12000)])),
                ('on', models.DateField()),
                ('note', models.CharField(blank=True, max_length=200)),
                ('animal', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='weighings', to='habitats.animal')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
        ),
        migrations.CreateModel(
            name='WeighingStrike',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('once', models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ('made_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('why', models.CharField(blank=True, max_length=200)),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('weighing', models.OneToOneField(on_delete=django.db.models.deletion.PROTECT, related_name='strike', to='habitats.weighing')),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.AddConstraint(
            model_name='person',
            constraint=models.CheckConstraint(condition=models.Q(('role__in', ['coordinator', 'builder', 'foster', 'laundry'])), name='person_role_is_known'),
        ),
        migrations.AddConstraint(
            model_name='person',
            constraint=models.CheckConstraint(condition=models.Q(('units__in', ['metric', 'inches'])), name='person_units_are_known'),
        ),
        migrations.AddConstraint(
            model_name='person',
            constraint=models.CheckConstraint(condition=models.Q(('paper__in', ['A4', 'Letter'])), name='person_paper_is_known'),
        ),
        migrations.AddConstraint(
            model_name='animal',
            constraint=models.UniqueConstraint(condition=models.Q(('own_id', ''), _negated=True), fields=('own_id',), name='animal_own_id_is_its_own'),
        ),
        migrations.AddConstraint(
            model_name='animal',
            constraint=models.CheckConstraint(condition=models.Q(('name', ''), _negated=True), name='animal_has_a_name'),
        ),
        migrations.AddConstraint(
            model_name='animal',
            constraint=models.CheckConstraint(condition=models.Q(('species__in', ['guinea_pig', 'rabbit'])), name='animal_species_is_known'),
        ),
        migrations.AddConstraint(
            model_name='animal',
            constraint=models.CheckConstraint(condition=models.Q(('sex__in', ['', 'F', 'M'])), name='animal_sex_is_known'),
        ),
        migrations.AddConstraint(
            model_name='animal',
            constraint=models.CheckConstraint(condition=models.Q(('castrated_on__isnull', True), ('born__isnull', True), ('born_margin_days__gt', 0), ('castrated_on__gte', models.F('born')), _connector='OR'), name='animal_is_born_before_it_is_castrated'),
        ),
        migrations.AddConstraint(
            model_name='animal',
            constraint=models.CheckConstraint(condition=models.Q(('is_castrated', True), models.Q(('castrated_before_maturity', False), ('castrated_on__isnull', True)), _connector='OR'), name='what_was_castrated_is_castrated'),
        ),
        migrations.AddConstraint(
            model_name='animal',
            constraint=models.CheckConstraint(condition=models.Q(('left_on__isnull', True), ('left_on__gte', models.F('came_on')), _connector='OR'), name='animal_comes_before_it_leaves'),
        ),
        migrations.AddConstraint(
            model_name='animal',
            constraint=models.CheckConstraint(condition=models.Q(models.Q(('left_on__isnull', True), ('left_why', '')), models.Q(('left_on__isnull', False), models.Q(('left_why', ''), _negated=True)), _connector='OR'), name='animal_leaves_for_a_reason'),
        ),
        migrations.AddConstraint(
            model_name='birth',
            constraint=models.CheckConstraint(condition=models.Q(('young__lte', 20)), name='litter_is_sane'),
        ),
        migrations.AddConstraint(
            model_name='calendarfeed',
            constraint=models.UniqueConstraint(condition=models.Q(('revoked_at__isnull', True)), fields=('person',), name='one_calendar_feed_a_person'),
        ),
        migrations.AddIndex(
            model_name='componentcheck',
            index=models.Index(fields=['component', '-id'], name='component_check_latest'),
        ),
        migrations.AddConstraint(
            model_name='componentcheck',
            constraint=models.CheckConstraint(condition=models.Q(('condition__in', ['good', 'worn', 'damaged', 'unsafe'])), name='condition_is_known'),
        ),
        migrations.AddConstraint(
            model_name='designrevision',
            constraint=models.UniqueConstraint(fields=('design', 'number'), name='one_revision_a_number'),
        ),
        migrations.AddConstraint(
            model_name='design',
            constraint=models.CheckConstraint(condition=models.Q(('species__in', ['guinea_pig', 'rabbit'])), name='design_species_is_known'),
        ),
        migrations.AddConstraint(
            model_name='design',
            constraint=models.CheckConstraint(condition=models.Q(('name', ''), _negated=True), name='design_has_a_name'),
        ),
        migrations.AddConstraint(
            model_name='enclosure',
            constraint=models.UniqueConstraint(condition=models.Q(('own_id', ''), _negated=True), fields=('own_id',), name='enclosure_own_id_is_its_own'),
        ),
        migrations.AddConstraint(
            model_name='enclosure',
            constraint=models.CheckConstraint(condition=models.Q(('label', ''), _negated=True), name='enclosure_has_a_label'),
        ),
        migrations.AddConstraint(
            model_name='component',
            constraint=models.UniqueConstraint(fields=('enclosure', 'kind'), name='one_component_a_kind'),
        ),
        migrations.AddConstraint(
            model_name='component',
            constraint=models.CheckConstraint(condition=models.Q(('kind__in', ['panel', 'connector', 'ramp', 'tray', 'tie'])), name='component_kind_is_known'),
        ),
        migrations.AddConstraint(
            model_name='changeplan',
            constraint=models.CheckConstraint(condition=models.Q(('interval_days__range', (1, 60))), name='change_interval_is_sane'),
        ),
        migrations.AddIndex(
            model_name='alteration',
            index=models.Index(fields=['enclosure', 'on'], name='alteration_of_enclosure'),
        ),
        migrations.AddIndex(
            model_name='enclosureevent',
            index=models.Index(fields=['enclosure', '-id'], name='event_latest'),
        ),
        migrations.AddConstraint(
            model_name='enclosureevent',
            constraint=models.CheckConstraint(condition=models.Q(('state__in', ['planned', 'building', 'standing', 'in use', 'repair', 'retired'])), name='enclosure_state_is_known'),
        ),
        migrations.AddConstraint(
            model_name='group',
            constraint=models.CheckConstraint(condition=models.Q(('species__in', ['guinea_pig', 'rabbit'])), name='group_species_is_known'),
        ),
        migrations.AddConstraint(
            model_name='lastchange',
            constraint=models.UniqueConstraint(fields=('subject', 'fact'), name='a_fact_has_one_last_change'),
        ),
        migrations.AddIndex(
            model_name='lookover',
            index=models.Index(fields=['enclosure', '-on'], name='look_latest'),
        ),
        migrations.AddIndex(
            model_name='fault',
            index=models.Index(fields=['enclosure', '-id'], name='fault_of_enclosure'),
        ),
        migrations.AddConstraint(
            model_name='fault',
            constraint=models.CheckConstraint(condition=models.Q(('kind__in', ['wire', 'panel', 'connector', 'tie', 'gap', 'floor', 'tray', 'tape', 'ramp', 'grip', 'doorway', 'guard', 'lid', 'other'])), name='fault_kind_is_known'),
        ),
        migrations.AddConstraint(
            model_name='fault',
            constraint=models.CheckConstraint(condition=models.Q(('urgency__in', ['unsafe', 'soon', 'convenient'])), name='fault_urgency_is_known'),
        ),
        migrations.AddConstraint(
            model_name='fault',
            constraint=models.CheckConstraint(condition=models.Q(models.Q(('x_mm__isnull', True), ('y_mm__isnull', True), ('z__isnull', True)), models.Q(('x_mm__isnull', False), ('y_mm__isnull', False), ('z__isnull', False)), _connector='OR'), name='fault_is_somewhere_or_nowhere'),
        ),
        migrations.AddIndex(
            model_name='membership',
            index=models.Index(fields=['animal', 'since'], name='membership_of_animal'),
        ),
        migrations.AddIndex(
            model_name='membership',
            index=models.Index(fields=['group', 'since'], name='membership_of_group'),
        ),
        migrations.AddConstraint(
            model_name='membership',
            constraint=models.CheckConstraint(condition=models.Q(('until__isnull', True), ('until__gte', models.F('since')), _connector='OR'), name='membership_ends_after_it_begins'),
        ),
        migrations.AddConstraint(
            model_name='membership',
            constraint=models.CheckConstraint(condition=models.Q(models.Q(('ended_by__isnull', True), ('until__isnull', True)), models.Q(('ended_by__isnull', False), ('until__isnull', False)), _connector='OR'), name='membership_is_ended_by_somebody'),
        ),
        migrations.AddConstraint(
            model_name='membership',
            constraint=models.UniqueConstraint(condition=models.Q(('until__isnull', True)), fields=('animal',), name='animal_is_in_one_group_now'),
        ),
        migrations.AddIndex(
            model_name='override',
            index=models.Index(fields=['group', 'key'], name='override_of_group'),
        ),
        migrations.AddConstraint(
            model_name='override',
            constraint=models.CheckConstraint(condition=models.Q(('reason', ''), _negated=True), name='override_has_a_reason'),
        ),
        migrations.AddConstraint(
            model_name='override',
            constraint=models.CheckConstraint(condition=models.Q(('is_block', False), ('confirmed', True), _connector='OR'), name='a_block_is_overridden_on_second_thought'),
        ),
        migrations.AddConstraint(
            model_name='pool',
            constraint=models.CheckConstraint(condition=models.Q(('name', ''), _negated=True), name='pool_has_a_name'),
        ),
        migrations.AddConstraint(
            model_name='pool',
            constraint=models.CheckConstraint(condition=models.Q(('weekdays__range', (0, 127))), name='pool_wash_days_are_of_a_week'),
        ),
        migrations.AddConstraint(
            model_name='pool',
            constraint=models.CheckConstraint(condition=models.Q(('synthetic_percent__range', (10, 100))), name='pool_share_is_a_share'),
        ),
        migrations.AddConstraint(
            model_name='home',
            constraint=models.UniqueConstraint(condition=models.Q(('own_id', ''), _negated=True), fields=('own_id',), name='home_own_id_is_its_own'),
        ),
        migrations.AddConstraint(
            model_name='home',
            constraint=models.CheckConstraint(condition=models.Q(('name', ''), _negated=True), name='home_has_a_name'),
        ),
        migrations.AddConstraint(
            model_name='home',
            constraint=models.CheckConstraint(condition=models.Q(('kind__in', ['foster', 'depot'])), name='home_kind_is_known'),
        ),
        migrations.AddConstraint(
            model_name='home',
            constraint=models.CheckConstraint(condition=models.Q(('most_enclosures__lte', 200)), name='home_holds_a_sane_number'),
        ),
        migrations.AddConstraint(
            model_name='home',
            constraint=models.CheckConstraint(condition=models.Q(models.Q(('largest_depth_mm__isnull', True), ('largest_width_mm__isnull', True)), models.Q(('largest_depth_mm__range', (300, 20000)), ('largest_width_mm__range', (300, 20000))), _connector='OR'), name='home_footprint_has_two_sides'),
        ),
        migrations.AddConstraint(
            model_name='programme',
            constraint=models.CheckConstraint(condition=models.Q(('name', ''), _negated=True), name='programme_has_a_name'),
        ),
        migrations.AddConstraint(
            model_name='programme',
            constraint=models.CheckConstraint(condition=models.Q(('temperature_c__lte', 95)), name='programme_is_no_hotter_than_water'),
        ),
        migrations.AddConstraint(
            model_name='programme',
            constraint=models.UniqueConstraint(condition=models.Q(('put_away_on__isnull', True)), fields=('pool', 'name'), name='one_programme_a_name'),
        ),
        migrations.AddIndex(
            model_name='load',
            index=models.Index(fields=['pool', '-on'], name='load_of_pool'),
        ),
        migrations.AddConstraint(
            model_name='load',
            constraint=models.CheckConstraint(condition=models.Q(('in_a_row__range', (1, 2))), name='load_is_washed_once_or_twice'),
        ),
        migrations.AddIndex(
            model_name='quarantine',
            index=models.Index(fields=['animal', '-id'], name='quarantine_latest'),
        ),
        migrations.AddConstraint(
            model_name='quarantine',
            constraint=models.CheckConstraint(condition=models.Q(('until__isnull', True), ('until__gte', models.F('since')), _connector='OR'), name='quarantine_ends_after_it_begins'),
        ),
        migrations.AddConstraint(
            model_name='quarantine',
            constraint=models.CheckConstraint(condition=models.Q(('why__in', ['intake', 'illness'])), name='quarantine_has_a_reason'),
        ),
        migrations.AddIndex(
            model_name='reading',
            index=models.Index(fields=['day', '-urgency'], name='reading_by_urgency'),
        ),
        migrations.AddIndex(
            model_name='reading',
            index=models.Index(fields=['home', 'day'], name='reading_by_home'),
        ),
        migrations.AddConstraint(
            model_name='shrinktest',
            constraint=models.CheckConstraint(condition=models.Q(('after_length_mm__gt', 0), ('after_width_mm__gt', 0), ('before_length_mm__gt', 0), ('before_width_mm__gt', 0)), name='shrink_test_measures_something'),
        ),
        migrations.AddConstraint(
            model_name='spot',
            constraint=models.UniqueConstraint(condition=models.Q(('gone_on__isnull', True)), fields=('enclosure', 'key'), name='one_spot_a_key'),
        ),
        migrations.AddIndex(
            model_name='linenevent',
            index=models.Index(fields=['linen', '-id'], name='linen_event_latest'),
        ),
        migrations.AddIndex(
            model_name='linenevent',
            index=models.Index(fields=['spot', 'on'], name='linen_event_in_spot'),
        ),
        migrations.AddConstraint(
            model_name='linenevent',
            constraint=models.CheckConstraint(condition=models.Q(('state__in', ['new', 'first-washed', 'clean', 'in use', 'soiled', 'washing', 'drying', 'dry', 'set aside', 'mending', 'retired', 'lost'])), name='linen_event_state_is_known'),
        ),
        migrations.AddIndex(
            model_name='linenchange',
            index=models.Index(fields=['spot', '-on'], name='change_of_spot'),
        ),
        migrations.AddIndex(
            model_name='linen',
            index=models.Index(fields=['pool', 'size', 'state'], name='linen_of_pool'),
        ),
        migrations.AddIndex(
            model_name='linen',
            index=models.Index(fields=['state', 'since'], name='linen_in_state'),
        ),
        migrations.AddConstraint(
            model_name='linen',
            constraint=models.CheckConstraint(condition=models.Q(('state__in', ['new', 'first-washed', 'clean', 'in use', 'soiled', 'washing', 'drying', 'dry', 'set aside', 'mending', 'retired', 'lost'])), name='linen_state_is_known'),
        ),
        migrations.AddConstraint(
            model_name='linen',
            constraint=models.CheckConstraint(condition=models.Q(models.Q(('spot__isnull', False), ('state', habitats.rotation.states.State['IN_USE'])), models.Q(models.Q(('state', habitats.rotation.states.State['IN_USE']), _negated=True), ('spot__isnull', True)), _connector='OR'), name='a_linen_lies_in_a_spot_while_in_use'),
        ),
        migrations.AddConstraint(
            model_name='linen',
            constraint=models.CheckConstraint(condition=models.Q(('state', habitats.rotation.states.State['SET_ASIDE']), ('suspicion', ''), _negated=True), name='what_is_set_aside_is_suspected'),
        ),
        migrations.AddIndex(
            model_name='spotclean',
            index=models.Index(fields=['enclosure', '-on'], name='spot_clean_latest'),
        ),
        migrations.AddIndex(
            model_name='standing',
            index=models.Index(fields=['enclosure', 'since'], name='standing_of_enclosure'),
        ),
        migrations.AddIndex(
            model_name='standing',
            index=models.Index(fields=['home', 'since'], name='standing_in_home'),
        ),
        migrations.AddConstraint(
            model_name='standing',
            constraint=models.CheckConstraint(condition=models.Q(('until__isnull', True), ('until__gte', models.F('since')), _connector='OR'), name='standing_ends_after_it_begins'),
        ),
        migrations.AddConstraint(
            model_name='standing',
            constraint=models.CheckConstraint(condition=models.Q(models.Q(('ended_by__isnull', True), ('until__isnull', True)), models.Q(('ended_by__isnull', False), ('until__isnull', False)), _connector='OR'), name='standing_is_ended_by_somebody'),
        ),
        migrations.AddConstraint(
            model_name='standing',
            constraint=models.UniqueConstraint(condition=models.Q(('until__isnull', True)), fields=('enclosure',), name='enclosure_stands_in_one_home_now'),
        ),
        migrations.AddIndex(
            model_name='stay',
            index=models.Index(fields=['group', 'since'], name='stay_of_group'),
        ),
        migrations.AddIndex(
            model_name='stay',
            index=models.Index(fields=['enclosure', 'since'], name='stay_in_enclosure'),
        ),
        migrations.AddConstraint(
            model_name='stay',
            constraint=models.CheckConstraint(condition=models.Q(('until__isnull', True), ('until__gte', models.F('since')), _connector='OR'), name='stay_ends_after_it_begins'),
        ),
        migrations.AddConstraint(
            model_name='stay',
            constraint=models.CheckConstraint(condition=models.Q(models.Q(('ended_by__isnull', True), ('until__isnull', True)), models.Q(('ended_by__isnull', False), ('until__isnull', False)), _connector='OR'), name='stay_is_ended_by_somebody'),
        ),
        migrations.AddConstraint(
            model_name='stay',
            constraint=models.UniqueConstraint(condition=models.Q(('until__isnull', True)), fields=('group',), name='group_stays_in_one_enclosure_now'),
        ),
        migrations.AddConstraint(
            model_name='stay',
            constraint=models.UniqueConstraint(condition=models.Q(('until__isnull', True)), fields=('enclosure',), name='enclosure_holds_one_group_now'),
        ),
        migrations.AddConstraint(
            model_name='trace',
            constraint=models.CheckConstraint(condition=models.Q(models.Q(('enclosure__isnull', True), ('group__isnull', False), ('linen__isnull', True)), models.Q(('enclosure__isnull', False), ('group__isnull', True), ('linen__isnull', True)), models.Q(('enclosure__isnull', True), ('group__isnull', True), ('linen__isnull', False)), _connector='OR'), name='trace_has_one_suspect'),
        ),
        migrations.AddConstraint(
            model_name='trace',
            constraint=models.CheckConstraint(condition=models.Q(('suspicion__in', ['ringworm', 'other', 'unknown'])), name='trace_suspicion_is_known'),
        ),
        migrations.AddIndex(
            model_name='weighing',
            index=models.Index(fields=['animal', '-on', '-made_at', '-id'], name='weighing_last_taken'),
        ),
        migrations.AddConstraint(
            model_name='weighing',
            constraint=models.CheckConstraint(condition=models.Q(('grams__range', (20, 12000))), name='weight_is_sane'),
        ),
    ]
