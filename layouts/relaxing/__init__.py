"""What would make an impossible hang possible: which demand gives way, and by how much."""
