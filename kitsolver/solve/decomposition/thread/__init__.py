"""The thread of charted colours: bounds, and the best assignments of places to colours."""
