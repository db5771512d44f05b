"""Scripts that make the tables and pages of the repository."""
