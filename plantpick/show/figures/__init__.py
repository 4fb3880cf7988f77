"""Pictures for the pages, and for files of their own: one file a subject, `drawing` with what all share."""
