"""Search for a hang; the only place where the solver library is imported, when first needed."""
