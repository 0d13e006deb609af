"""Lungwort: proof that reusable parts of ventilators are fit for the next patient."""

__version__ = "0.1.0"
