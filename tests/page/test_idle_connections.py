"""A connection that nobody used for some seconds is still open for the next request."""

import time

import httpx
import pytest


# Where it is closed at that moment, the request is lost: a minute of load showed that.
@pytest.mark.slow
def test_a_request_may_come_after_some_seconds_without_one(served):
    opened = []

    def seen(name, _):
        if name == "connection.connect_tcp.complete":
            opened.append(name)

    with httpx.Client(base_url=served, limits=httpx.Limits(keepalive_expiry=None)) as client:
        for pause in (6, 0):
            answer = client.get("/", extensions={"trace": seen})
            assert answer.status_code == 200
            time.sleep(pause)
    assert len(opened) == 1
