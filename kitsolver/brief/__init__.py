"""What is asked."""
