"""Every check of a kit recomputed from the raw rows; shares nothing with the solver."""
