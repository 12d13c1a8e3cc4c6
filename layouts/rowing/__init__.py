"""Split pieces into rows, one above the other, that come out even.

`split_rows` makes the rows' gaps (or, without a length, their widths) as equal as it can, and where
heights are given then the whole as low as it can. `checks.faults` verifies a split with other code.
`lowering` makes the rows of any walls low while their gaps stay as they are.
"""

from layouts.rowing.split import Rows, split_rows

__all__ = ["Rows", "split_rows"]
