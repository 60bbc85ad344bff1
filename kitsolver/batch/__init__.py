"""Many briefs in parallel: what is to run, who works, what is done already."""
