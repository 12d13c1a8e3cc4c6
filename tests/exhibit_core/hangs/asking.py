"""What the form of a hang sends."""


def asked(scene, **changed):
    whole = {
        "title": "Gallery",
        "walls": [scene.wall.pk],
        "kind": "even",
        "align": "centreline",
        "datum_mm": "1500",
        "ends": "same",
        "min_gap_mm": "50",
        "label_side": "right",
        "label_width_mm": "150",
        "label_height_mm": "100",
        "label_gap_mm": "40",
        "version": scene.hang.version,
    }
    return {**whole, **changed}
