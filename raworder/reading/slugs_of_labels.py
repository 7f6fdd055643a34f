"""What can be wrong with a sheet of labels."""

from raworder.reading.slug import Slug, error

SLUGS_OF_LABELS: tuple[Slug, ...] = (
    error(
        "labels-off-paper",
        "The last labels of a sheet would end beyond the edge of the paper. Margins and pitches are measured on the "
        "sheet: from the edge of the paper to the first label, and from the edge of a label to the same edge of the "
        "next.",
        "labels: {paper: A4, width: 70 mm, height: 37 mm, columns: 3, rows: 8, top: 5 mm}",
        "labels: {paper: A4, width: 70 mm, height: 37 mm, columns: 3, rows: 8, top: 0.5 mm}",
    ),
    error(
        "labels-overlap",
        "A label would begin before the last one ends. `across` and `down` are measured from the edge of a label to "
        "the same edge of the next, so they are never less than its width and height. They are not the gaps between.",
        "labels: {paper: A4, width: 63.5 mm, height: 38.1 mm, columns: 3, rows: 7, across: 2.5 mm}",
        "labels: {paper: A4, width: 63.5 mm, height: 38.1 mm, columns: 3, rows: 7, across: 66 mm}",
    ),
    error(
        "label-too-small",
        "A label of a bag says whose it is, for which day, what it weighs, what it must not touch and by when it is "
        "fed. Labels of less than 60 by 25 mm do not hold that in letters that can be read.",
        "labels: {paper: A4, width: 38.1 mm, height: 21.2 mm, columns: 5, rows: 13}",
        "labels: {paper: A4, width: 63.5 mm, height: 38.1 mm, columns: 3, rows: 7}",
    ),
)
