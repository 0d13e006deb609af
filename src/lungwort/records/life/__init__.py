"""The life of parts, machines, people and protocols: one event a deed, refused with reasons where it is not allowed."""
