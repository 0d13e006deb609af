"""Tags and filters of every template."""
