"""The whole problem as one mixed-integer model, and the solvers behind it."""
