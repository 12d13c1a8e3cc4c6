"""Generated hangs, plain ways to hang them, and a table that compares the search with these."""
