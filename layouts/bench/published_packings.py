"""Published rectangles that fill a strip to the least height without waste: width, height, sizes.

C1_1 to C1_3 of E. Hopper and B. C. H. Turton, An empirical investigation of meta-heuristic and
heuristic algorithms for a 2D packing problem, European Journal of Operational Research 128 (2001)
34-57; BKW1 and BKW2 of E. K. Burke, G. Kendall and G. Whitwell, A new placement heuristic for the
orthogonal stock-cutting problem, Operations Research 52 (2004) 655-671. Attributions from memory.
"""

PUBLISHED = {
    "C1_1": (
        20,
        20,
        "2x12 7x12 8x6 3x6 3x5 5x5 3x12 3x7 5x7 2x6 3x2 4x2 3x4 4x4 9x2 11x2",
    ),
    "C1_2": (
        20,
        20,
        "4x1 4x1 4x5 9x4 3x5 3x9 1x4 5x3 5x5 7x2 7x2 9x3 3x13 2x8 15x4 5x4 10x6",
    ),
    "C1_3": (
        20,
        20,
        "4x14 5x2 2x2 9x7 5x5 2x5 7x7 3x5 6x5 3x2 6x2 4x6 6x3 6x3 10x3 10x3",
    ),
    "BKW1": (
        40,
        40,
        "7x6 7x6 40x16 5x20 24x24 7x4 4x4 7x8 4x20 5x4",
    ),
    "BKW2": (
        30,
        50,
        "23x9 19x4 12x21 6x4 6x4 7x13 9x4 4x6 4x6 23x6 16x6 4x14 "
        "14x6 6x6 5x4 7x6 14x11 4x7 8x4 14x4",
    ),
}
