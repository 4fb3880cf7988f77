"""Keeps the solver's own remarks, which HiGHS writes past Python and past its settings, out of the caller's output."""

from __future__ import annotations

import os
import sys
import tempfile
from contextlib import contextmanager

REMARK = b"Highs"  # how the solver's stray lines begin


@contextmanager
def hushed():
    """Hold back what reaches standard output meanwhile and pass on all but the solver's remarks: whatever another thread
    prints comes a little later, and nothing is lost."""
    try:
        sys.stdout.flush()
        kept = os.dup(1)
    except (OSError, AttributeError, ValueError):  # there is no standard output
        yield
        return
    with tempfile.TemporaryFile() as held:
        os.dup2(held.fileno(), 1)
        try:
            yield
        finally:
            try:
                sys.stdout.flush()
            finally:
                os.dup2(kept, 1)
                os.close(kept)
            held.seek(0)
            for line in held:
                if not line.startswith(REMARK):
                    os.write(1, line)
