"""Evidence: reading what was measured and judging it to a verdict."""
