"""The only code that draws: terminal tables, JSON and CSV."""
