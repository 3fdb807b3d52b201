"""How the property tests search: the same examples each time, so that a check passes or fails for all alike.

`python -m pytest --hypothesis-profile=wide` searches anew and further; no test is timed, on whatever machine.
"""

from hypothesis import HealthCheck, settings

settings.register_profile("same", deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow])
settings.register_profile("wide", deadline=None, max_examples=1000, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("same")
