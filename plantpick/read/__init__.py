"""The only code that opens files."""
