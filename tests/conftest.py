"""Fixtures that every part of the suite may use."""

import pytest
from hypothesis import settings

# The same examples on every machine; `--hypothesis-profile=wander` looks for new ones, and longer.
settings.register_profile("same", derandomize=True, deadline=None)
settings.register_profile("wander", max_examples=5_000, deadline=None, print_blob=True)
settings.load_profile("same")


@pytest.fixture
def make_person(db):
    """Return a function that makes a person with the given roles; none makes an outsider."""
    from tests.factories import UserFactory

    def make(*roles: str):
        return UserFactory(roles=list(roles))

    return make


@pytest.fixture
def sign_in(make_person):
    """Return a function that gives a client signed in with the given roles."""
    from django.test import Client

    def client_as(*roles: str) -> Client:
        client = Client()
        client.force_login(make_person(*roles))
        return client

    return client_as


@pytest.fixture(autouse=True)
def _media_in_tmp(request, tmp_path):
    """Keep files that tests write away from each other."""
    if "db" in request.fixturenames or "django_db" in {m.name for m in request.node.iter_markers()}:
        request.getfixturevalue("settings").MEDIA_ROOT = tmp_path / "media"
