"""A hospital served to a client: a place, three people with PINs, the demo's protocol in force."""

import os
import shutil
import sys
import tempfile
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from served import PART, PIN, PLACE, code_of

FOLDER = tempfile.mkdtemp()
os.environ |= {"LUNGWORT_DATABASE": f"{FOLDER}/hospital.db", "LUNGWORT_HOSTS": "testserver"}

import django  # noqa: E402

django.setup()

from django.conf import settings  # noqa: E402
from django.core.management import call_command  # noqa: E402
from django.db import connections  # noqa: E402
from django.test import Client  # noqa: E402

from lungwort.demo.protocol import demo_protocol_path  # noqa: E402
from lungwort.records.life import parts, people, protocols  # noqa: E402
from lungwort.records.life.permissions import ROLES  # noqa: E402
from lungwort.web.accounts.models import give_pin  # noqa: E402
from lungwort.web.frame import books  # noqa: E402

settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]  # quick, for tests alone


DATABASE = Path(FOLDER) / "hospital.db"


def kept(name, make):
    """Put a database into place that was made once and copied since; the copying is what makes the tests quick."""
    connections.close_all()
    books.store.cache_clear()
    for path in Path(FOLDER).glob("hospital.db*"):
        path.unlink()
    made = Path(FOLDER) / f"{name}.made"
    if made.exists():
        shutil.copyfile(made, DATABASE)
        return
    make()
    connections.close_all()  # the last one to leave takes what is pending into the file
    shutil.copyfile(DATABASE, made)


@pytest.fixture
def empty():
    """Return a client of records in which nothing is recorded yet."""
    kept("empty", lambda: call_command("migrate", verbosity=0))
    yield Client()
    connections.close_all()


@pytest.fixture
def hospital(empty):
    """Return the book of a place with a person for each role, each with the same PIN."""
    kept("hospital", people_and_protocol)
    return books.book_of(PLACE)


def people_and_protocol():
    """Open a place, enrol and train people, publish the demo's protocol, enrol a part."""
    call_command("migrate", verbosity=0)
    book = books.book_of(PLACE)
    lead = book.witness("I-01")
    people.open_place(lead)
    for role in ROLES:
        code = code_of(role)
        people.enrol(lead, code, [role])
        give_pin(PLACE, code, PIN)
    give_pin(PLACE, "I-01", PIN)
    protocols.publish(lead, demo_protocol_path().read_text("utf-8"))
    people.train(lead, code_of("ward"), "nurse", passed=True, expires_on=date(2099, 1, 1))
    parts.enrol(book.witness(code_of("store")), "Silicone circuit, adult", code=PART)
    assert datetime.now(UTC) > datetime(2026, 9, 1, tzinfo=UTC)  # the protocol is in force


@pytest.fixture
def signed_in(hospital):
    """Return what gives a client signed in as the person of a role; None is nobody."""

    def give(role):
        client = Client()
        if role is not None:
            told = {"place": PLACE, "person": code_of(role), "pin": PIN}
            assert client.post("/sign-in", told).status_code == 302
        return client

    return give
