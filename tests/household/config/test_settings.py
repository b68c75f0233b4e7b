"""Settings come from the environment; what cannot be used stops every command, in words."""

import os
import stat
import subprocess
import sys
from pathlib import Path

import pytest
from django.conf import settings

from household.config import environment

ROOT = Path(settings.BASE)


def run(data: Path, code: str, **variables: str) -> "subprocess.CompletedProcess[str]":
    """Runs code in a fresh process with only these settings."""
    kept = {key: os.environ[key] for key in ("PATH", "HOME") if key in os.environ}
    return subprocess.run(
        [sys.executable, "-c", code],
        cwd=ROOT,
        env={
            **kept,
            "TRENCHER_DATA": str(data),
            "DJANGO_SETTINGS_MODULE": "household.config.settings",
            **variables,
        },
        capture_output=True,
        text=True,
        check=False,
    )


def read(data: Path, expression: str, **variables: str) -> str:
    code = f"from household.config import settings as s; print(repr(({expression})))"
    done = run(data, code, **variables)
    assert done.returncode == 0, done.stderr
    return done.stdout.strip()


def check(data: Path, **variables: str) -> "subprocess.CompletedProcess[str]":
    code = "import sys, django.core.management as m; m.execute_from_command_line(['x', 'check'])"
    return run(data, code, **variables)


def test_unset_everything_runs_embedded(tmp_path: Path) -> None:
    expression = (
        "s.DEBUG, s.DATABASES['default']['ENGINE'].split('.')[-1], s.CELERY_BROKER_URL, "
        "s.CACHES['default']['BACKEND'].split('.')[-1]"
    )
    assert read(tmp_path, expression) == "(False, 'sqlite3', 'filesystem://', 'FileBasedCache')"


def test_services_are_used_when_named(tmp_path: Path) -> None:
    expression = (
        "s.DATABASES['default']['ENGINE'].split('.')[-1], s.CELERY_BROKER_URL, "
        "s.CACHES['default']['BACKEND'].split('.')[-1]"
    )
    variables = {"DATABASE_URL": "postgres://u@h/d", "REDIS_URL": "redis://h:6379/0"}
    assert read(tmp_path, expression, **variables) == (
        "('postgresql', 'redis://h:6379/0', 'RedisCache')"
    )


def test_the_secret_key_is_made_once_and_kept_from_others(tmp_path: Path) -> None:
    data = tmp_path / "data"
    first = read(data, "s.SECRET_KEY")
    assert len(first) >= 50
    assert read(data, "s.SECRET_KEY") == first
    assert stat.S_IMODE((data / "secret-key").stat().st_mode) == 0o600
    assert stat.S_IMODE(data.stat().st_mode) == 0o700
    assert read(data, "s.SECRET_KEY", TRENCHER_SECRET_KEY="given" * 10) == repr("given" * 10)


def test_behind_a_proxy_its_word_on_https_and_addresses_counts(tmp_path: Path) -> None:
    expression = (
        "s.SECURE_PROXY_SSL_HEADER[0], s.REST_FRAMEWORK['NUM_PROXIES'], s.SESSION_COOKIE_SECURE, "
        "'dogs.example' in s.ALLOWED_HOSTS, s.CSRF_TRUSTED_ORIGINS, s.INVITATION_BASE_URL"
    )
    variables = {"TRENCHER_BEHIND_PROXY": "1", "TRENCHER_PUBLIC_URL": "https://dogs.example/"}
    assert read(tmp_path, expression, **variables) == (
        "('HTTP_X_FORWARDED_PROTO', 1, True, True, ['https://dogs.example'], "
        "'https://dogs.example')"
    )
    assert read(tmp_path, "hasattr(s, 'SECURE_PROXY_SSL_HEADER')") == "False"


@pytest.mark.parametrize(
    ("address", "host"),
    [
        ("https://dogs.example:8443", "dogs.example"),
        ("https://[fd00::5]", "[fd00::5]"),
        ("https://[fd00::5]:8443", "[fd00::5]"),
    ],
)
def test_the_host_of_the_public_address_is_answered(
    tmp_path: Path, address: str, host: str
) -> None:
    hosts = read(tmp_path, "s.PUBLIC_URL, s.ALLOWED_HOSTS[-1]", TRENCHER_PUBLIC_URL=address)
    assert hosts == repr((address, host))


def test_addresses_and_hosts_are_taken_as_people_write_them(tmp_path: Path) -> None:
    """A browser sends no "/" after an origin, links bring their own, requests have brackets."""
    variables = {
        "TRENCHER_CSRF_TRUSTED_ORIGINS": "https://dogs.example/, https://*.dogs.example",
        "TRENCHER_INVITATION_BASE_URL": "https://dogs.example/",
        "TRENCHER_ALLOWED_HOSTS": "dogs.example, .dogs.example, fd00::5, [fd00::6]",
    }
    expression = "s.CSRF_TRUSTED_ORIGINS, s.INVITATION_BASE_URL, s.ALLOWED_HOSTS"
    assert read(tmp_path, expression, **variables) == (
        "(['https://dogs.example', 'https://*.dogs.example'], 'https://dogs.example', "
        "['dogs.example', '.dogs.example', '[fd00::5]', '[fd00::6]'])"
    )


def test_the_database_lies_in_the_data_folder_whatever_that_is_called(tmp_path: Path) -> None:
    data = tmp_path / "dogs #1? 100%25"
    name = read(data, "str(s.DATABASES['default']['NAME'])")
    assert name == repr(str(data / "trencher.sqlite3"))


def test_the_checks_pass_on_a_fresh_machine(tmp_path: Path) -> None:
    done = check(tmp_path)
    assert done.returncode == 0, done.stderr
    assert "no issues" in done.stdout


@pytest.mark.parametrize(
    ("name", "value", "words"),
    [
        ("TRENCHER_DEBUG", "perhaps", "config.E001"),
        ("TRENCHER_PUBLIC_URL", "dogs.example", "https://dogs.example, no path"),
        ("TRENCHER_PUBLIC_URL", "https://dogs.example/app", "no path"),
        ("TRENCHER_PUBLIC_URL", "https://dogs.example#app", "no path"),
        ("TRENCHER_PUBLIC_URL", "https://[fd00::5", "no path"),
        ("TRENCHER_PUBLIC_URL", "https://dogs.example:port", "no path"),
        ("TRENCHER_HTTPS_PORT", "eight", "a whole number from 1 to 65535"),
        ("TRENCHER_CSRF_TRUSTED_ORIGINS", "dogs.example", "begin with https://"),
        ("TRENCHER_CSRF_TRUSTED_ORIGINS", "https://dogs.example/app", "no path"),
        ("TRENCHER_INVITATION_BASE_URL", "dogs.example", "such as https://dogs.example"),
        ("TRENCHER_ALLOWED_HOSTS", "https://dogs.example", "without https:// and port"),
        ("TRENCHER_ALLOWED_HOSTS", "dogs.example:8443", "without https:// and port"),
        ("REDIS_URL", "localhost", "config.E003"),
        ("TRENCHER_SECRET_KEY", "short", "config.E004"),
    ],
)
def test_a_setting_that_cannot_be_used_is_named(
    tmp_path: Path, name: str, value: str, words: str
) -> None:
    done = check(tmp_path, **{name: value})
    assert done.returncode == 1
    assert words in done.stderr
    assert name in done.stderr


def test_allowing_any_host_is_warned_of(tmp_path: Path) -> None:
    assert "config.W001" in check(tmp_path, TRENCHER_ALLOWED_HOSTS="*").stderr


def test_an_unwritable_data_folder_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    from household.config import checks

    monkeypatch.setattr("household.config.checks.os.access", lambda *_: False)
    (error,) = checks.data_folder_is_writable(None)
    assert error.id == "config.E002"


def test_flags_read_plain_words(monkeypatch: pytest.MonkeyPatch) -> None:
    for given, meant in (("1", True), ("yes", True), ("OFF", False), ("0", False)):
        monkeypatch.setenv("TRENCHER_DEBUG", given)
        assert environment.flag("TRENCHER_DEBUG") is meant
    monkeypatch.delenv("TRENCHER_DEBUG")
    assert environment.flag("TRENCHER_DEBUG", default=True) is True


def test_a_fault_leaves_its_traceback_on_the_console(tmp_path: Path) -> None:
    code = (
        "import django; django.setup(); import logging\n"
        "try: 1 / 0\n"
        "except ZeroDivisionError: logging.getLogger('django.request').exception('page')\n"
    )
    done = run(tmp_path, code)
    assert "ERROR django.request: page" in done.stderr
    assert "ZeroDivisionError" in done.stderr
