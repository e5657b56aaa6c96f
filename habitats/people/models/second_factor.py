"""A second factor at log-in: a code of six digits from an authenticator app, new every 30 seconds.

Time-based one-time passwords (RFC 6238), checked by django-otp, which also makes each further
try wait longer. Beside it stand codes on paper, each of which works once, for a lost phone: of
these the database has a hash alone, under the server's key (``kept_as``). The secret of an app has
to be read again for each code, so it stands as it is.
"""

import math
from base64 import b32encode, urlsafe_b64encode
from binascii import unhexlify
from enum import Enum

from django.db import transaction
from django.utils import timezone
from django.utils.crypto import salted_hmac
from django_otp.oath import TOTP
from django_otp.plugins.otp_static.models import StaticDevice, StaticToken
from django_otp.plugins.otp_totp.models import TOTPDevice, default_key

from habitats.people.models.first_passwords import new_password
from habitats.people.models.people import Person

# In the session of who has to set one up before any other page.
ASKED_FOR = "second_factor_asked_for"
# Common practice, no source.
RECOVERY_CODES = 10
# Of a hash, 96 bits: as much as django-otp's column holds. A code itself has 57.
HASH_BYTES = 12


class CodeSource(Enum):
    APP = "app"
    PAPER = "paper"


_MODELS = {CodeSource.APP: TOTPDevice, CodeSource.PAPER: StaticDevice}


def new_key() -> str:
    """The secret that phone and server will share, in hexadecimal."""
    return default_key()


def readable(key: str) -> str:
    """The secret as it is typed into an app that has no camera, in groups of four."""
    text = b32encode(unhexlify(key)).decode().rstrip("=")
    return " ".join(text[start : start + 4] for start in range(0, len(text), 4))


def key_address(person: Person, key: str) -> str:
    """What an app's camera reads."""
    return TOTPDevice(user=person, key=key).config_url


def fits(key: str, code: str) -> bool:
    """Whether the app that made the code has this secret, and a clock as ours."""
    return code.isdecimal() and TOTP(unhexlify(key)).verify(int(code), tolerance=1)


def has_second_factor(person: Person) -> bool:
    return TOTPDevice.objects.filter(user=person, confirmed=True).exists()


def who_have_one() -> set[int]:
    """Numbers of the people who are asked for a code."""
    return set(TOTPDevice.objects.filter(confirmed=True).values_list("user_id", flat=True))


@transaction.atomic
def set_up(person: Person, key: str) -> list[str]:
    """From now on the person is asked for a code. The recovery codes, which stand nowhere else."""
    remove(person)
    TOTPDevice.objects.create(user=person, name="app", key=key, confirmed=True)
    return make_recovery_codes(person)


@transaction.atomic
def make_recovery_codes(person: Person) -> list[str]:
    """Ten of them; those from before no longer work."""
    StaticDevice.objects.filter(user=person).delete()
    paper = StaticDevice.objects.create(user=person, name="paper", confirmed=True)
    codes = [new_password() for _ in range(RECOVERY_CODES)]
    kept = (StaticToken(device=paper, token=kept_as(code)) for code in codes)
    StaticToken.objects.bulk_create(kept)
    return codes


def kept_as(code: str) -> str:
    """What the database has of a recovery code: nobody who reads a copy can log in with it."""
    digest = salted_hmac("habitats.recovery_code", code, algorithm="sha256").digest()
    return urlsafe_b64encode(digest[:HASH_BYTES]).decode()


def recovery_codes_left(person: Person) -> int:
    return StaticToken.objects.filter(device__user=person).count()


def remove(person: Person) -> bool:
    """Whether there was one."""
    StaticDevice.objects.filter(user=person).delete()
    return bool(TOTPDevice.objects.filter(user=person).delete()[0])


@transaction.atomic
def source_of(person: Person, code: str) -> CodeSource | None:
    """Where a right code is from; one from paper is used up by this. None for a wrong one."""
    code = code.replace(" ", "").lower()
    source = CodeSource.APP if code.isdecimal() else CodeSource.PAPER
    found = _MODELS[source].objects.filter(user=person, confirmed=True)
    device = found.select_for_update(no_key=True).first()
    typed = code if source is CodeSource.APP else kept_as(code)
    if device is None:
        return None
    _bear_with_clocks(device, typed)
    return source if device.verify_token(typed) else None


def _bear_with_clocks(device: TOTPDevice | StaticDevice, code: str = "") -> None:
    """Keep nobody out because our clock was wrong, and is right again.

    A wrong code of an hour that is still to come makes nobody wait for it. How far a phone's clock
    is off was learnt against ours: where a code fits without that, it counts no longer.
    """
    failed_at = device.throttling_failure_timestamp
    if failed_at is not None and failed_at > timezone.now():
        device.throttling_failure_timestamp = None
    if isinstance(device, TOTPDevice) and device.drift and fits(device.key, code):
        device.drift = 0


def seconds_to_wait(person: Person) -> int:
    """Until the next code is looked at, after wrong ones; 0: at once."""
    waits = [0]
    for model in _MODELS.values():
        for device in model.objects.filter(user=person, confirmed=True):
            _bear_with_clocks(device)
            is_allowed, why = device.verify_is_allowed()
            if not is_allowed and why:
                waits.append(math.ceil((why["locked_until"] - timezone.now()).total_seconds()))
    return max(waits)
