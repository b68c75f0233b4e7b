"""How long tests wait for what must come."""

PATIENCE_S = 180.0
"""Long, because only a failure waits it out, and a busy machine is not a failure."""
