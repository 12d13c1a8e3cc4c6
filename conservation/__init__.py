"""What things can bear: light, climate, cases and rest, computed. Knows no database and no web.

Every judgement stands in a readable table under `data/` with its source; a museum may lay its own
tables over ours. No result is a certificate: the conservator decides.
"""
