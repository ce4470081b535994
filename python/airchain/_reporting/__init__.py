"""The report: its parts, each a list of blocks made of what is told, and how they are set."""
