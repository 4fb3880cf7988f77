"""Native plants for a fishing pond: which suit it, which would take it over, and what holds them."""

__version__ = "0.1.0"
