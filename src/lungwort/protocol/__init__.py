"""Protocol: the hospital's own document of what each part goes through, and its vetting."""
