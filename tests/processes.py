"""Programs that a test starts and stops."""

from __future__ import annotations

import signal


def can_be_interrupted() -> None:
    """For ``preexec_fn``: the program can be stopped as with Ctrl+C.

    A shell that starts a command in the background has it ignore that signal, and so does all that is started from there:
    without this a suite run in the background waits in vain for what it interrupts.
    """
    signal.signal(signal.SIGINT, signal.SIG_DFL)
