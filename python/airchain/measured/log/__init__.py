"""The reader of dyno and logger files."""
