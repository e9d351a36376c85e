"""Moving the table: what its pieces ask of those who lift them."""
