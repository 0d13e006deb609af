"""Steps by which the tables came to their form."""
