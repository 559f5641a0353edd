"""Settings for every test run."""

from __future__ import annotations

from hypothesis import settings

# Derandomised: a change is judged by its own merit, not by the draw of the day. No deadline: the first
# example pays for imports, and a loaded machine would fail it for no fault of the code.
settings.register_profile("handwheel", derandomize=True, deadline=None)
settings.load_profile("handwheel")
