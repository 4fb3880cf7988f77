"""What state agencies and extension services recommend and warn against, and how the ranking compares."""
