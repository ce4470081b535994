"""What may stand in a build file, and reading one."""
