"""Published rows, lengths and weights above the diagonal, with the least cost published.

S8, S10 and S11 of D. M. Simmons, One-dimensional space allocation: an ordering algorithm,
Operations Research 17 (1969) 812-826; S8H and S9H are their variants in S. S. Heragu and A. Kusiak,
Machine layout problem in flexible manufacturing systems, Operations Research 36 (1988) and European
Journal of Operational Research 57 (1991); P15 of A. R. S. Amaral, On the exact solution of a
facility layout problem, European Journal of Operational Research 173 (2006). Attributions from
memory.
"""

PUBLISHED = {
    "S8": (
        801,
        [2, 3, 4, 5, 6, 3, 7, 4],
        (
            "6 4 1 7 3 5 0",
            "1 2 5 2 4 3",
            "0 6 3 2 2",
            "3 4 0 1",
            "0 6 6",
            "3 5",
            "2",
        ),
    ),
    "S8H": (
        2324.5,
        [5, 6, 5, 4, 5, 4, 6, 5],
        (
            "7 5 6 7 5 6 7",
            "7 6 5 7 5 6",
            "6 5 6 5 7",
            "7 6 7 5",
            "7 5 6",
            "6 5",
            "7",
        ),
    ),
    "S9H": (
        4695.5,
        [5, 7, 6, 8, 7, 5, 6, 8, 7],
        (
            "8 5 7 6 5 8 6 7",
            "5 6 7 8 5 6 6",
            "6 8 6 7 7 5",
            "7 8 6 8 8",
            "5 5 6 7",
            "6 7 5",
            "6 7",
            "6",
        ),
    ),
    "S10": (
        2781.5,
        [6, 3, 9, 4, 2, 6, 8, 9, 6, 7],
        (
            "0 9 5 1 4 5 4 7 0",
            "4 5 2 7 2 9 0 7",
            "0 7 2 5 0 9 4",
            "7 9 0 5 2 5",
            "0 4 7 2 12",
            "4 9 3 5",
            "0 2 9",
            "1 7",
            "0",
        ),
    ),
    "S11": (
        6933.5,
        [3, 9, 3, 7, 3, 7, 5, 9, 6, 5, 10],
        (
            "20 2 8 0 9 5 7 0 20 3",
            "8 9 13 17 16 1 8 6 7",
            "18 0 10 4 18 5 8 0",
            "6 16 10 4 2 14 6",
            "6 0 11 0 8 2",
            "6 13 2 7 18",
            "1 11 15 7",
            "1 7 2",
            "12 0",
            "3",
        ),
    ),
    "P15": (
        6305,
        [20, 3, 9, 3, 7, 3, 7, 5, 9, 6, 5, 3, 9, 3, 7],
        (
            "10 0 5 1 0 1 2 2 2 2 0 4 0 0",
            "1 3 2 2 2 3 2 0 2 0 10 5 0",
            "10 2 0 2 5 4 5 2 2 5 5 5",
            "1 1 5 0 0 2 1 0 2 5 0",
            "3 5 5 5 1 0 3 0 5 5",
            "2 2 1 5 0 0 2 5 10",
            "6 0 1 5 5 5 1 0",
            "5 2 10 0 5 0 0",
            "0 10 5 10 0 2",
            "0 4 0 0 5",
            "5 0 5 0",
            "3 3 0",
            "10 2",
            "4",
        ),
    ),
}
