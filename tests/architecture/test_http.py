"""The headers every answer carries, read off answers rather than off the settings."""

import pytest


@pytest.mark.django_db
def test_headers_of_a_page(client):
    answer = client.get("/sign-in/")
    assert answer.status_code == 200
    assert "default-src 'self'" in answer["Content-Security-Policy"]
    assert "unsafe" not in answer["Content-Security-Policy"]
    assert answer["X-Content-Type-Options"] == "nosniff"
    assert answer["Referrer-Policy"] == "same-origin"
    assert answer["X-Frame-Options"] == "DENY"


def test_healthz_answers_any_host(client):
    assert client.get("/healthz", headers={"host": "elsewhere.example"}).content == b"ok\n"


@pytest.mark.django_db
def test_readyz_with_all_migrations(client):
    answer = client.get("/readyz")
    assert (answer.status_code, answer.content) == (200, b"ready\n")
