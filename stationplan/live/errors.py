"""What can go wrong with a shift that runs, or is thought to run.

LiveError
├── EventError        an event cannot be: nothing is recorded
│   └── OutdatedError  a plan does not reckon with what was recorded meanwhile
├── RecordFileError   a file is not a record of a shift that this version can read
├── NotRecordedError  the record could not be written: nothing is recorded
├── FollowingError    a plan cannot be followed batch by batch
└── MishapError       what may go wrong is not told in a way that can be understood
"""

from __future__ import annotations


class LiveError(Exception):
    """Anything the live package raises on purpose."""


class EventError(LiveError):
    """An event that cannot be understood, or contradicts what is recorded; the message says what would be right."""


class OutdatedError(EventError):
    """A plan cannot be recorded: it does not reckon with what was recorded while it was made."""


class RecordFileError(LiveError):
    """A file cannot be read as the record of a shift."""


class NotRecordedError(LiveError):
    """The record could not be written, for instance because the disk is full; it is as it was."""


class FollowingError(LiveError):
    """A plan does not fit the scenario that it carries, batch by batch."""


class MishapError(LiveError):
    """A failure or a stoppage that is not told as it should be."""
