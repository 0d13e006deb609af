"""Steps by which the table of accounts came to its form."""
