"""How the tests run: hypothesis profiles, a clock that can be moved by hand."""

import os

import pytest
from hypothesis import HealthCheck, settings

settings.register_profile(
    "default", deadline=None, suppress_health_check=[HealthCheck.too_slow]
)
settings.register_profile("ci", parent=settings.get_profile("default"), derandomize=True)
settings.load_profile("ci" if os.environ.get("CI") else "default")


class Clock:
    """Record time that goes on by ``step`` milliseconds each time it is read."""

    def __init__(self, now: int = 1_700_000_000_000, step: int = 1000) -> None:
        self.now, self.step = now, step

    def __call__(self) -> int:
        self.now += self.step
        return self.now


@pytest.fixture
def clock() -> Clock:
    return Clock()
