"""What can be wrong with a price list that is a workbook."""

from raworder.reading.slug import Slug, error, warning

SLUGS_OF_WORKBOOKS: tuple[Slug, ...] = (
    error(
        "broken-workbook",
        "The file's name ends as that of an XLSX workbook, but it is none, or it is damaged.",
        "price_list: lists/north.xlsx      # a CSV file under another name",
        "price_list: lists/north.csv",
    ),
    error(
        "old-workbook",
        "The file is a workbook of the kind that spreadsheets wrote before XLSX. It cannot be read.",
        "price_list: lists/north.xls",
        "price_list: lists/north.xlsx",
    ),
    error(
        "locked-workbook",
        "The workbook is locked with a password, and raworder asks for none.",
        "price_list: lists/north.xlsx      # opens with a password",
        "price_list: lists/north.xlsx      # opens without",
    ),
    error(
        "workbook-too-large",
        "The workbook holds more than 50 MiB, 500000 tags, 150000 cells or 10000 merged ranges once it is unpacked, or "
        "its sheet has more than 6000 rows. No price list needs that; of a CSV file twice as many rows are read.",
        "price_list: lists/archive.xlsx",
        "price_list: lists/north.xlsx",
    ),
    error(
        "unknown-sheet",
        "The workbook has no sheet of that name. Capitals do not matter.",
        "price_list: {file: north.xlsx, sheet: Prises}",
        "price_list: {file: north.xlsx, sheet: Prices}",
    ),
    error(
        "sheet-in-doubt",
        "The workbook has several sheets, and the scenario does not say which of them is the price list.",
        "price_list: north.xlsx",
        "price_list: {file: north.xlsx, sheet: Prices}",
    ),
    error(
        "not-for-this-file",
        "What stands between cells, the decimal mark and the encoding are questions of CSV files; an XLSX workbook has "
        "cells and numbers of its own. Only a workbook has sheets.",
        'price_list: {file: north.xlsx, decimal: ","}',
        "price_list: north.xlsx",
    ),
    error(
        "formula-without-value",
        "A cell holds a formula whose value was not saved with it, as some programs do. Formulas are not worked out "
        "here.",
        "price | =B2*1.07                  # written by a program, never opened",
        "price | 4.28",
    ),
    error(
        "error-in-cell",
        "A cell holds an error in place of a value, such as `#REF!` or `#N/A`.",
        "price | #REF!",
        "price | 4.28",
    ),
    error(
        "strange-cell",
        "A cell holds a day, a time or a truth value. No column of a price list takes one; a spreadsheet often makes a "
        "day of what was typed as `1-2` or `3/4`.",
        "item | 2027-04-03                 # 3/4 was typed",
        "item | 3/4                        # typed as text",
    ),
    warning(
        "cells-not-read",
        "A sheet is read up to its hundredth column, and down to where 50 rows are blank. Something stands beyond, and "
        "counts for nothing.",
        "kale | 1 kg | 4.28\n(60 blank rows)\nchard | 1 kg | 3.10",
        "kale | 1 kg | 4.28\nchard | 1 kg | 3.10",
    ),
    error(
        "merged-cells",
        "Cells were merged into one. What it says stands in the first of them only, and the others are empty.",
        "cut | kale (over two rows)",
        "cut | kale\ncut | kale",
    ),
)
