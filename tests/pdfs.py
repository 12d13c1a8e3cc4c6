"""Look into PDF files as a reader with a ruler does."""

from io import BytesIO
from itertools import pairwise

from pypdf import PdfReader
from pypdf.generic import ContentStream

MM_PER_POINT = 25.4 / 72


def texts(pdf: bytes) -> list[str]:
    """Return the words of each page, one space between them."""
    return [" ".join(page.extract_text().split()) for page in PdfReader(BytesIO(pdf)).pages]


def paper_mm(pdf: bytes) -> list[tuple[int, int]]:
    """Return width and height of each page."""
    boxes = [page.mediabox for page in PdfReader(BytesIO(pdf)).pages]
    return [
        (round(float(box.width) * MM_PER_POINT), round(float(box.height) * MM_PER_POINT))
        for box in boxes
    ]


def scale_bar_mm(pdf: bytes, scale: int, page: int = 0) -> float:
    """Return how long the ten equal parts of the scale bar are on paper, laid end to end."""
    part = 100 / scale
    parts = sorted({(x, w) for x, w in rectangles(pdf, page) if abs(w - part) < 0.001})[:10]
    touching = all(abs(a + w - b) < 0.001 for (a, w), (b, _) in pairwise(parts))
    return parts[-1][0] + parts[-1][1] - parts[0][0] if len(parts) == 10 and touching else 0.0


def rectangles(pdf: bytes, page: int = 0) -> list[tuple[float, float]]:
    """Return left edge and width, in mm on paper, of every rectangle of a page."""
    reader = PdfReader(BytesIO(pdf))
    found, stack, matrix = [], [], (1.0, 0.0)
    for operands, operator in ContentStream(reader.pages[page].get_contents(), reader).operations:
        numbers = [float(o) for o in operands] if operator in (b"cm", b"re") else []
        if operator == b"q":
            stack.append(matrix)
        elif operator == b"Q":
            matrix = stack.pop()
        elif operator == b"cm":
            matrix = (matrix[0] * numbers[0], matrix[1] + matrix[0] * numbers[4])
        elif operator == b"re":
            left = matrix[1] + matrix[0] * numbers[0]
            found.append((left * MM_PER_POINT, matrix[0] * numbers[2] * MM_PER_POINT))
    return found
