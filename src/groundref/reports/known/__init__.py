"""How each figure is known: measured, derived or given, how surely, and what could make it wrong."""
