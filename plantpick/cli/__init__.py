"""The command line: each command parses, reads, makes one call and shows the answer."""
