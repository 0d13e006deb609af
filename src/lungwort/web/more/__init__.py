"""More: the further screens that are open to a person, as a plain list."""
