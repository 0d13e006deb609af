"""The ward's pages: one folder a screen, each with its addresses, views and templates."""
