"""Why there is no kit, and what would mend it."""
