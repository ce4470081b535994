"""What the fuel system must deliver at every level, and whether it can."""
