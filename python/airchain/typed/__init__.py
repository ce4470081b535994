"""Values as people type them, with their units: keys, tables, refusals by the place they stand."""
