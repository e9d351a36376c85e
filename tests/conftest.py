"""Shared set-up of the tests, and the plain words under them."""

import os

from hypothesis import settings

# A shop PC can be slow; a slow example is no fault. In CI the examples are the same on every run.
settings.register_profile("kit", deadline=None, derandomize=os.environ.get("CI") == "true")
settings.load_profile("kit")


def pytest_terminal_summary(terminalreporter):
    """Say in plain words what the run means; pytest's own count follows as the last line."""
    stats = terminalreporter.stats
    failed = len(stats.get("failed", [])) + len(stats.get("error", []))
    terminalreporter.section("in plain words")
    if failed:
        terminalreporter.line(
            f"{failed} failed: do not rely on the numbers they cover until they pass. The names stand above."
        )
    elif stats.get("passed"):
        terminalreporter.line("Everything that ran passed.")
    else:
        terminalreporter.line("Nothing ran.")
    for report in stats.get("skipped", []):
        reason = report.longrepr[2] if isinstance(report.longrepr, tuple) else str(report.longrepr)
        terminalreporter.line(f"Did not run: {report.nodeid} ({reason.removeprefix('Skipped: ')})")
