"""An order of pieces in a row that keeps near what belongs near.

`nearest_order` seeks the least sum over near pairs of weight times the distance between centres,
with one gap between all neighbours. `checks.faults` verifies an order with other code.
"""

from layouts.related.order import Order, nearest_order

__all__ = ["Order", "nearest_order"]
