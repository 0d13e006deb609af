"""Every error that Lungwort raises on purpose; each message names the value, what is allowed and the remedy."""


class LungwortError(Exception):
    """Something a person can mend; its message is a sentence for that person."""


class OutOfRange(LungwortError):
    """A value lies outside the range in which a formula or a limit holds."""


class UnreadableLog(LungwortError):
    """A file of readings cannot be read without guessing; the message says where and what would settle it."""


class UnknownName(LungwortError):
    """A criterion, channel, sensor or unit was asked for that does not exist; the message lists near ones."""


class UnusableLibrary(LungwortError):
    """A library file lacks a source, a basis or a needed value."""
