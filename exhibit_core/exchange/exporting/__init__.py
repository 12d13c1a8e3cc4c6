"""Write the register and exhibitions' lists as spreadsheets that can come back in."""
