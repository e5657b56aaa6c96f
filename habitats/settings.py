"""Settings: everything that differs between machines comes from the environment.

A file `.env` beside `manage.py` is read first, if there is one; README.md lists the variables.
Values that are unclear stop the start with a sentence (`habitats/environment.py`); values that
do not go together are told by `manage.py check` (`habitats/checks.py`).
"""

from contextlib import suppress
from datetime import timedelta
from pathlib import Path

import environ
from csp.constants import NONCE, NONE, SELF
from django.contrib.messages import constants as message_levels

from habitats.environment import (
    SQLITE,
    address,
    choice,
    database,
    folder,
    mail,
    media_storage,
    number,
    secret,
    switch,
    time_zone,
    words,
)

BASE_DIR = Path(__file__).resolve().parent.parent

environ.Env.read_env(BASE_DIR / ".env")

# What the rescue keeps: database, photos, the secret key of a local run. Never in git.
DATA_DIR = folder("DATA_DIR", default=BASE_DIR / "data", base=BASE_DIR)
# Where `manage.py backup` writes to, and deletes old ones by a rule.
BACKUP_DIR = folder("BACKUP_DIR", default=DATA_DIR / "backups", base=BASE_DIR)
# What printed papers may take of DATA_DIR; 0: none is kept (`habitats/common/kept_prints.py`).
PRINTS_MB = number("PRINTS_MB", default=200, low=0, high=1_000_000)
# Each paper in a process of its own, which gives back what the layout took.
PRINTS_APART = True

DEBUG = switch("DEBUG", default=False)
# Empty outside DEBUG is refused by the check habitats.E001, so that the pure commands
# (`manage.py plan` and the like), which sign nothing, work on a bare clone all the same.
SECRET_KEY = secret("SECRET_KEY", fallback_file=DATA_DIR / "secret_key")
if DEBUG and not SECRET_KEY:
    SECRET_KEY = "only-for-debugging-on-this-machine"  # nosec B105 # as it says
ALLOWED_HOSTS = words("ALLOWED_HOSTS", default=("localhost", "127.0.0.1", "[::1]"))
CSRF_TRUSTED_ORIGINS = words("CSRF_TRUSTED_ORIGINS")

# What labels, papers, kit links and calendars carry; empty: the name by which a reader reached us.
PUBLIC_URL = address("PUBLIC_URL")

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    # Before staticfiles: whitenoise then serves static files under runserver too.
    "whitenoise.runserver_nostatic",
    "django.contrib.staticfiles",
    "axes",
    "csp",
    "django_otp",
    "django_otp.plugins.otp_static",
    "django_otp.plugins.otp_totp",
    "django_htmx",
    "django_tasks",
    "django_tasks_db",
    "habitats.apps.HabitatsConfig",
    "builds.apps.BuildsConfig",
]

MIDDLEWARE = [
    # First: whatever is logged of a request carries its number.
    "habitats.middleware.numbered",
    "django.middleware.security.SecurityMiddleware",
    "habitats.middleware.well_formed",
    "csp.middleware.CSPMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    # Every page asks for a log-in; a public one says so with @login_not_required.
    "django.contrib.auth.middleware.LoginRequiredMiddleware",
    "habitats.middleware.in_readers_language",
    "habitats.middleware.own_password_first",
    "habitats.middleware.device_in_use",
    "habitats.middleware.kept_by_browsers",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "habitats.middleware.AskedAgain",
    # Last, as django-axes asks: it turns a refused log-in into the page that says so.
    "axes.middleware.AxesMiddleware",
]

FORM_RENDERER = "habitats.common.widgets.PlainRenderer"
ROOT_URLCONF = "habitats.urls"
WSGI_APPLICATION = "habitats.wsgi.application"

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [BASE_DIR / "templates"],
        "APP_DIRS": False,
        "OPTIONS": {
            # Every form that changes something carries it, so no template has to load it.
            # Every template says something, so none has to load what translates.
            "builtins": [
                "habitats.templatetags.basis",
                "django.templatetags.i18n",
                "habitats.templatetags.constants",
            ],
            # What a page of a low feature shows of a higher one, it asks for by a tag.
            "libraries": {
                "adoptions": "habitats.adoptions.tags",
                "backups": "habitats.backups.tags",
                "build_costs": "builds.pulls.tags",
                "costs": "builds.store.tags",
                "health": "habitats.health.tags",
                "homes": "habitats.homes.tags",
                "kit_asks": "builds.kits.tags",
                "set_up": "habitats.board.tags",
                "sources": "builds.sources.tags",
            },
            "context_processors": [
                "django.template.context_processors.request",
                "django.template.context_processors.i18n",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "habitats.people.context.csp_nonce",
                "habitats.people.context.reader",
                "habitats.rescue.context.currency",
                "habitats.people.context.script_words",
            ],
        },
    }
]

# --- What is remembered ---

SQLITE_OPTIONS = {
    "timeout": 20,
    # A read that later writes must not lose its place: the write lock is taken at BEGIN.
    "transaction_mode": "IMMEDIATE",
    # synchronous=FULL: a tick that a builder was told is kept must survive a power cut.
    # NORMAL would be faster and may lose the last commits.
    "init_command": ("PRAGMA journal_mode=WAL;PRAGMA synchronous=FULL;PRAGMA cache_size=-20000;"),
}
# Pages ask many small questions. Compiling one that PostgreSQL takes for a large one is longer than
# answering it: measured, half of what the laundry's page costs it. Values go apart from the words
# of a question, so that a server may keep its plan. `?options=` of DATABASE_URL says otherwise.
POSTGRESQL_OPTIONS = {"options": "-c jit=off", "server_side_binding": True}
# Off for a pooler that gives each transaction another connection and knows no prepared statements.
KEEP_PLANS = switch("KEEP_PLANS", default=True)
DATABASES = {"default": database("DATABASE_URL", file=DATA_DIR / "habitats.sqlite3")}
DATABASES["default"]["CONN_MAX_AGE"] = 60
# After PostgreSQL was restarted each thread would answer its next page, or form, with a 500.
DATABASES["default"]["CONN_HEALTH_CHECKS"] = True
if DATABASES["default"]["ENGINE"] == SQLITE:
    DATABASES["default"]["OPTIONS"] = SQLITE_OPTIONS
    # Where it cannot be made, the check habitats.E003 says so; what needs no database goes on.
    with suppress(OSError):
        Path(DATABASES["default"]["NAME"]).parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        # An empty file is an empty database; those that SQLite lays beside it are as private.
        Path(DATABASES["default"]["NAME"]).touch(mode=0o600)
else:
    given = DATABASES["default"].get("OPTIONS", {})
    DATABASES["default"]["OPTIONS"] = POSTGRESQL_OPTIONS | given
# ATOMIC_REQUESTS stays off: with IMMEDIATE it would take the write lock on every page.
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

# --- Long work ---

# server: beside the pages, in the process that was asked; database: by `manage.py worker`, which
# takes it from there.
TASKS = {
    "default": {
        "BACKEND": {
            "server": "habitats.common.tasks.InThisServer",
            "database": "django_tasks_db.DatabaseBackend",
        }[choice("TASKS", ("server", "database"))]
    }
}

# --- Who may ---

AUTH_USER_MODEL = "habitats.Person"
AUTHENTICATION_BACKENDS = [
    "axes.backends.AxesStandaloneBackend",
    "django.contrib.auth.backends.ModelBackend",
]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": f"django.contrib.auth.password_validation.{validator}"}
    for validator in (
        "UserAttributeSimilarityValidator",
        "MinimumLengthValidator",
        "CommonPasswordValidator",
        "NumericPasswordValidator",
    )
]
LOGIN_URL = "login"
LOGIN_REDIRECT_URL = "home"
LOGOUT_REDIRECT_URL = "login"

AXES_FAILURE_LIMIT = 6
AXES_COOLOFF_TIME = 0.25  # hours
AXES_RESET_ON_SUCCESS = True
# Else whoever goes on trying keeps the name locked for ever.
AXES_RESET_COOL_OFF_ON_FAILURE_DURING_LOCKOUT = False
# Name and address together: a stranger elsewhere does not lock a volunteer out.
AXES_LOCKOUT_PARAMETERS = [["username", "ip_address"]]
AXES_CLIENT_IP_CALLABLE = "habitats.common.client_address.client_address"
AXES_LOCKOUT_CALLABLE = "habitats.people.views.accounts.locked_out"
AXES_VERBOSE = False

# What authenticator apps call an account of ours.
OTP_TOTP_ISSUER = "Habitats"

# --- What leaves the server ---

# Where nothing is set, no mail goes out, and links to choose a password are passed on by hand.
MAIL_FROM, _mail_server = mail("MAIL_URL", "MAIL_FROM")
vars().update(_mail_server)
EMAIL_TIMEOUT = 10  # seconds

# HTTPS=off is for a run on one's own machine (`make run`), nothing else.
HTTPS = switch("HTTPS", default=not DEBUG)
SECURE_SSL_REDIRECT = SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = HTTPS
SECURE_HSTS_SECONDS = 30 * 24 * 3600 if HTTPS else 0
# Other names under the rescue's domain are not ours to bind to HTTPS (W005, W021).
SILENCED_SYSTEM_CHECKS = ["security.W005", "security.W021"]
SECURE_REFERRER_POLICY = "same-origin"
SESSION_COOKIE_HTTPONLY = True
SESSION_ENGINE = "habitats.common.sessions"
# A log-in ends by itself: without use, and after so long in use. Common practice, no source.
SESSION_COOKIE_AGE = int(number("LOG_IN_IDLE_HOURS", default=14 * 24, low=1, high=8760) * 3600)
LOG_IN_LASTS = timedelta(days=number("LOG_IN_DAYS", default=90, low=1, high=3650))
X_FRAME_OPTIONS = "DENY"
# Only where a reverse proxy sets X-Forwarded-Proto and -For itself; else a visitor could.
BEHIND_PROXY = switch("BEHIND_PROXY", default=False)
if BEHIND_PROXY:
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")

CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [NONE],
        "base-uri": [NONE],
        "connect-src": [SELF],
        "font-src": [SELF],
        "form-action": [SELF],
        "frame-ancestors": [NONE],
        "img-src": [SELF, "data:", "blob:"],
        "manifest-src": [SELF],
        "script-src": [SELF, NONCE],
        "style-src": [SELF],
        "worker-src": [SELF],
    }
}

STATIC_URL = "static/"
STATIC_ROOT = BASE_DIR / "staticfiles"
STATICFILES_DIRS = [BASE_DIR / "static"]
STORAGES = {
    "default": media_storage("MEDIA_S3_BUCKET", "MEDIA_S3_ENDPOINT"),
    "staticfiles": {
        "BACKEND": (
            "django.contrib.staticfiles.storage.StaticFilesStorage"
            if DEBUG
            else "habitats.common.static_files.ManifestStaticFiles"
        )
    },
}
# A bucket is backed up by who keeps it, unless backups are asked for its photos, too.
MEDIA_IS_HERE = "OPTIONS" not in STORAGES["default"]
MEDIA_ROOT = folder("MEDIA_DIR", default=DATA_DIR / "media", base=BASE_DIR)

# A design file is read whole; habitats.structure refuses larger ones with a sentence.
DATA_UPLOAD_MAX_MEMORY_SIZE = 12 * 1024 * 1024

# --- Language, time, messages ---

# The language that the product is written in, and those that it is translated into.
LANGUAGE_CODE = "en-gb"
LANGUAGES = [("en-gb", "English"), ("de", "Deutsch")]
# What is in templates/ and static/ is said in habitats' catalogue; builds has one of its own.
LOCALE_PATHS = [BASE_DIR / "habitats" / "locale", BASE_DIR / "builds" / "locale"]
TIME_ZONE = time_zone("TIME_ZONE", default="UTC")
USE_I18N = True
USE_TZ = True

# A word beside each colour; the style sheet knows these four.
MESSAGE_TAGS = {
    message_levels.DEBUG: "note",
    message_levels.INFO: "note",
    message_levels.SUCCESS: "done",
    message_levels.WARNING: "caution",
    message_levels.ERROR: "fault",
}

LOG_FORMAT = choice("LOG_FORMAT", ("text", "json"))
# With DEBUG off Django says nothing about a 500 unless somebody is mailed: tell the console.
LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    # A refused page is no fault of ours: its line is enough, without where in the code it was.
    "filters": {
        "refusals": {"()": "habitats.logs.RefusalsInOneLine"},
        "request_id": {"()": "habitats.logs.WithRequestId"},
        "secrets": {"()": "habitats.logs.WithoutSecrets"},
    },
    "formatters": {
        "text": {
            "format": "{asctime} {levelname} {name} [{request_id}]: {message}",
            "style": "{",
        },
        "json": {"()": "habitats.logs.JsonLines"},
    },
    "handlers": {
        "console": {
            "class": "logging.StreamHandler",
            "formatter": LOG_FORMAT,
            "filters": ["refusals", "request_id", "secrets"],
        }
    },
    "root": {"handlers": ["console"], "level": "WARNING"},
    "loggers": {
        "django": {"handlers": ["console"], "level": "WARNING", "propagate": False},
        "habitats": {"level": "INFO"},
        "builds": {"level": "INFO"},
    },
}

# --- The trade ---

# Steepest ramp that a design may have, in degrees (common practice, no source).
RAMP_LIMIT_DEG = number("RAMP_LIMIT_DEG", default=30.0, low=5.0, high=60.0)
