"""A tight group of pieces of mixed sizes, one gap between neighbours both ways.

`cluster` makes a group about as wide as high, `lowest_band` fills a band of given width.
`checks.faults` verifies a group with other code.
"""

from layouts.clustering.group import Band, Cluster, cluster, lowest_band

__all__ = ["Band", "Cluster", "cluster", "lowest_band"]
