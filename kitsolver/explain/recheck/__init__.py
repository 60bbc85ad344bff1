"""Whether a saved kit is still good today, and the smallest change that mends it."""
