"""The first run: the place is opened, its first person gets a PIN, a protocol to begin with is offered and vetted."""
