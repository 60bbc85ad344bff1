"""Many briefs picked in parallel, and continued after an interruption."""
