"""Mistakes in the sheet of labels, each with every finding it must give and no other; all invented."""

from tests.hostile.mistake import Mistake

SHEET = """labels:
  paper: A4
  width: 63.5 mm
  height: 38.1 mm
  columns: 3
  rows: 7
  left: 7.25 mm
  top: 1.515 cm
  across: 66 mm
  down: 1.5 in
"""
"""The sheet of the sound scenario, whole; it begins in line 90."""

MISTAKES_OF_LABELS = (
    Mistake("labels left empty", SHEET, "labels:\n", "empty-value@90:1"),
    Mistake("labels as a list", SHEET, "labels: [a4-3x8-70x37]\n", "wrong-shape@90:9"),
    Mistake("labels of no known sheet", SHEET, "labels: a4-3x8-70x73\n", "unknown-choice@90:9"),
    Mistake("labels with an unknown field", "  down: 1.5 in", "  gap: 1.5 in", "unknown-field@99:3"),
    Mistake(
        "known sheet of which all is said again",
        "  paper: A4\n",
        "  sheet: a4-3x7-63.5x38.1\n",
        "two-ways@92:3 two-ways@93:3 two-ways@94:3 two-ways@95:3 two-ways@98:3 two-ways@99:3",
    ),
    Mistake("labels on no known paper", "paper: A4", "paper: A5", "unknown-choice@91:10"),
    Mistake("own sheet without its paper", "  paper: A4\n", "", "missing-field@91:3"),
    Mistake(
        "own sheet without most",
        SHEET,
        "labels: {paper: A4, rows: 7}\n",
        "missing-field@90:9 " * 2 + "missing-field@90:9",
    ),
    Mistake("width without unit", "width: 63.5 mm", "width: 63.5", "no-unit@92:10"),
    Mistake("width with a comma", "width: 63.5 mm", "width: 63,5 mm", "comma-in-number@92:10"),
    Mistake("width in a unit of weight", "width: 63.5 mm", "width: 63.5 kg", "unknown-unit@92:10"),
    Mistake("width in inches spelt out", "width: 63.5 mm", "width: 2.5 inches", "unknown-unit@92:10"),
    Mistake("width in inch signs", "width: 63.5 mm", 'width: 2.5"', "unknown-unit@92:10"),
    Mistake("width as a broken number", "width: 63.5 mm", "width: 2 1/2 in", "bad-value@92:10"),
    Mistake("width as a fraction", "width: 63.5 mm", "width: 5/2 in", "bad-value@92:10"),
    Mistake("width below nothing", "width: 63.5 mm", "width: -70 mm", "bad-value@92:10"),
    Mistake("label too narrow", "width: 63.5 mm", "width: 59.9 mm", "label-too-small@92:10"),
    Mistake("label just wide enough", "width: 63.5 mm", "width: 60 mm", ""),
    Mistake("label too low", "height: 38.1 mm", "height: 24.9 mm", "label-too-small@93:11"),
    Mistake("label of nothing", "height: 38.1 mm", "height: 0 mm", "label-too-small@93:11"),
    Mistake("labels too many for the paper", "columns: 3", "columns: 4", "labels-off-paper@94:12"),
    Mistake("no column", "columns: 3", "columns: 0", "out-of-range@94:12"),
    Mistake("columns by the thousand", "columns: 3", "columns: 1000", "out-of-range@94:12"),
    Mistake("rows too many for the paper", "rows: 7", "rows: 8", "labels-off-paper@95:9"),
    Mistake("margin that just fits", "left: 7.25 mm", "left: 14.5 mm", ""),
    Mistake("margin that pushes labels off the paper", "left: 7.25 mm", "left: 14.51 mm", "labels-off-paper@96:9"),
    Mistake("upper margin in inches for centimetres", "top: 1.515 cm", "top: 1.515 in", "labels-off-paper@97:8"),
    Mistake("gap for a pitch", "across: 66 mm", "across: 2.5 mm", "labels-overlap@98:11"),
    Mistake("rows that overlap", "down: 1.5 in", "down: 38.09 mm", "labels-overlap@99:9"),
    Mistake(
        "both directions are told in one run",
        "  columns: 3\n  rows: 7\n",
        "  columns: 4\n  rows: 8\n",
        "labels-off-paper@94:12 labels-off-paper@95:9",
    ),
)
