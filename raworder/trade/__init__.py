"""Trade."""
