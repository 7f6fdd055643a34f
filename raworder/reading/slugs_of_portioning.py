"""What can be wrong with how bags are to be made."""

from raworder.reading.slug import Slug, error, warning

SLUGS_OF_PORTIONING: tuple[Slug, ...] = (
    error(
        "unusable-scale",
        "A scale shows steps of at most 500 g, and a scale or a tub takes at least 500 g. With anything else no bag "
        "could be filled; often the number is in another unit than was meant.",
        "portioning: {scale: 5 g}",
        "portioning: {scale: 5 kg}",
    ),
    warning(
        "coarse-scale",
        "A scale that shows only steps above 100 g cannot weigh what a small dog gets of an organ.",
        "portioning: {scale_step: 200 g}",
        "portioning: {scale_step: 5 g}",
    ),
    error(
        "portion-off-scale",
        "The least portion is what the scale can show: one of its steps, or a multiple of them.",
        "portioning: {scale_step: 5 g, least_portion: 12 g}",
        "portioning: {scale_step: 5 g, least_portion: 15 g}",
    ),
    error(
        "portioned-out-of-time",
        "Bags are filled on the first day of the batch or before, and not more than 14 days before.",
        "batch: {starts: 2027-02-06}\nportioning: {day: 2027-02-08}",
        "batch: {starts: 2027-02-06}\nportioning: {day: 2027-02-05}",
    ),
    warning(
        "portioned-early",
        "Bags are filled more than 3 days before the batch begins. Fresh meat does not keep so long in a refrigerator, "
        "so all of it has to be frozen.",
        "batch: {starts: 2027-02-06}\nportioning: {day: 2027-01-30}",
        "batch: {starts: 2027-02-06}\nportioning: {day: 2027-02-05}",
    ),
    warning(
        "needless-division",
        "A cut is to be divided that is not kept whole anyway: it has no bone, its bone is ground, nothing says what a "
        "piece of it weighs, or it is neither sold nor on hand.",
        "portioning: {divided: [beef trim]}",
        "portioning: {divided: [turkey neck]}",
    ),
)
