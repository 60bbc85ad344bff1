"""Free colours that keep their order: the best ways to give them thread, without a model."""
