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


class UnreadableProtocol(LungwortError):
    """A protocol cannot be read; the message names file, line, table and key of each fault, and the remedy."""


class UnusableRecords(LungwortError):
    """The database of records cannot be opened, read or written; the message says why and what to do."""


class RecordsBusy(UnusableRecords):
    """Others kept the records busy for longer than the stated time; nothing was written."""


class RecordsMovedOn(LungwortError):
    """Something was recorded since the writer last looked; the message says what to look at again."""


class ChangeRefused(LungwortError):
    """Somebody tried to change or remove what is recorded, or to write past `append`."""


class UnusableEvent(LungwortError):
    """What was to be recorded is not in the form that records keep; the message names the value and the form."""


class UnreadableCode(LungwortError):
    """A code was typed or scanned that cannot be read without guessing; the message says why and what to do."""
