"""Faults injected: a full disk, killed processes, solvers that err, a clock set back."""
