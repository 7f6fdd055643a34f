"""What can be wrong with a file as a file, and with its YAML or CSV."""

from raworder.reading.slug import Slug, error, warning

SLUGS_OF_FILES: tuple[Slug, ...] = (
    error(
        "no-such-file",
        "A file is named that does not exist. A price list is looked for from the scenario's folder.",
        "price_list: hollow-lane.csv       # it lies in the folder lists",
        "price_list: lists/hollow-lane.csv",
    ),
    error(
        "not-a-file",
        "What is named is a folder, a device or the like. Only regular files are read.",
        "price_list: lists",
        "price_list: lists/hollow-lane.csv",
    ),
    error(
        "too-large",
        "The file is larger than 2 MiB, or holds more values, rows or cells than are read: 120000 values and 12000 "
        "entries of a list in a scenario, 12000 rows of a price list. Nobody needs that; another file was probably "
        "named.",
        "price_list: photographs.csv",
        "price_list: lists/hollow-lane.csv",
    ),
    error(
        "unreadable-file",
        "The system will not let the file be read, or its name cannot be used at all.",
        "price_list: locked.csv            # without permission to read it",
        "price_list: lists/hollow-lane.csv",
    ),
    error(
        "unreadable-text",
        "The bytes of the file are not text in the encoding it should have: UTF-8, UTF-16 with its mark, or "
        "what the price list states.",
        "price_list: old.csv               # saved by an old program",
        "price_list: {file: old.csv, encoding: cp1252}",
    ),
    error(
        "price-list-outside",
        "A price list must lie in the scenario's folder or below it, so that a scenario from elsewhere cannot "
        "make other files be read.",
        "price_list: ../../private/prices.csv",
        "price_list: lists/prices.csv",
    ),
    error(
        "empty-file",
        "The file says nothing: it is empty, or holds comments only.",
        "# to be written",
        "currency: EUR",
    ),
    error(
        "control-character",
        "Characters that cannot be seen, or that turn the direction of writing, can make a file read other "
        "than it looks. They are refused everywhere, but for tabs, line ends and the joiners that emoji need.",
        'name: "Maple\\e"',
        "name: Maple",
    ),
    error(
        "broken-yaml",
        "The file is not valid YAML. Often a bracket or quote is not closed, an indentation differs from its "
        "neighbours, or a colon inside a text needs quotes.",
        "dogs: [{name: Maple]",
        "dogs: [{name: Maple}]",
    ),
    error(
        "too-deep",
        "Lists and mappings may stand within one another 40 deep, and mixes may be made of mixes 10 deep.",
        "title: [[[[...]]]]",
        "title: Two dogs",
    ),
    error(
        "second-document",
        "A scenario is one document. A line of three dashes after it begins another.",
        "currency: EUR\n---\ncurrency: USD",
        "currency: EUR",
    ),
    error(
        "alias",
        "An alias would repeat something from elsewhere in the file. Written out, each dog and offer can be "
        "read by itself.",
        "ration: *usual",
        "ration: 2.5 %",
    ),
    error(
        "anchor",
        "An anchor names something for an alias, and aliases are not read. A text that begins with `&` needs quotes.",
        "ration: &usual 2.5 %",
        "ration: 2.5 %",
    ),
    error(
        "tag",
        "A tag asks for another type. Each field knows its type itself. A text that begins with `!` needs quotes.",
        "days: !!int 14",
        "days: 14",
    ),
    error(
        "merge-key",
        "A merge key would copy fields from elsewhere. What holds for every dog belongs under `all_dogs`.",
        "dogs: [{<<: {ration: 2.5 %}, name: Maple}]",
        "all_dogs: {ration: 2.5 %}\ndogs: [{name: Maple}]",
    ),
    error(
        "repeated-key",
        "A field is written twice in one mapping, and only one of the two can be meant.",
        "weight: 22 kg\nweight: 24 kg",
        "weight: 24 kg",
    ),
    warning(
        "comment-in-value",
        "A number sign after a space begins a comment, so the rest of the line is not read. In quotes it "
        "belongs to the text.",
        "item: Necks #2",
        'item: "Necks #2"',
    ),
    error(
        "separator-in-doubt",
        "The header of the price list does not tell what stands between its columns.",
        "cut pack price",
        "cut;pack;price",
    ),
    error(
        "missing-column",
        "A price list needs at least the columns `cut` and `price`.",
        "cut,pack\nchicken neck,1 kg",
        "cut,pack,price\nchicken neck,1 kg,2.40",
    ),
    error(
        "unknown-column",
        "The price list has a column that means nothing here. A misspelt column would otherwise be lost "
        "without a word.",
        "cut,pakc,price",
        "cut,pack,price",
    ),
    error("repeated-column", "Two columns of the price list have one name.", "cut,price,price", "cut,pack,price"),
    error("no-rows", "The price list has a header and nothing below it.", "cut,price", "cut,price\nkale,3.20 per kg"),
    error(
        "wrong-cell-count",
        "A row has more or fewer cells than the header, so that some would stand under the wrong name.",
        "cut,item,price\nkale,green, curly,3.20 per kg",
        'cut,item,price\nkale,"green, curly",3.20 per kg',
    ),
    error(
        "unclosed-quote",
        "A cell begins with a quote that is never closed, so that the rest of the list would fall into it.",
        'cut,item,price\nkale,"green,3.20 per kg',
        'cut,item,price\nkale,"green",3.20 per kg',
    ),
    error(
        "stray-quote",
        "A quote stands inside a cell that is not in quotes, or text follows a closing quote.",
        'cut,item,price\nkale,5" leaves,3.20 per kg',
        'cut,item,price\nkale,"5"" leaves",3.20 per kg',
    ),
    error(
        "undecided-number",
        "With three digits behind its one mark a number can be a decimal or a large one, and nothing else in "
        "the list tells.",
        "cut,pack,price\nbeef trim,10 kg,1.234",
        'price_list: {file: lists/a.csv, decimal: ","}',
    ),
    error(
        "mixed-decimal-marks",
        "Some numbers of the price list have a decimal point and some a decimal comma.",
        "cut;pack;price\nkale;1 kg;3,20\nchard;1 kg;3.40",
        "cut;pack;price\nkale;1 kg;3,20\nchard;1 kg;3,40",
    ),
    error(
        "other-decimal-mark",
        "The list's decimal mark is a comma, and this number has a point.",
        "cut;pack;price\nkale;1 kg;1.200,50",
        "cut;pack;price\nkale;1 kg;1200,50",
    ),
)
