"""What is for sale and what it costs."""
