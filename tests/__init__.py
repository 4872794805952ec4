"""The tests. What is made up by chance has as long as it needs: on a busy machine a deadline fails by itself."""

from hypothesis import HealthCheck, settings

settings.register_profile("house", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("house")
