"""What can be wrong with papers that come back: saved plans, receipts and records of weighing."""

from raworder.reading.slug import Slug, error, warning

SLUGS_OF_PAPERS: tuple[Slug, ...] = (
    error(
        "broken-json",
        "A saved plan is what `raworder plan SCENARIO --json` printed, whole and unchanged. The file is no JSON at "
        "all, or was cut off, or holds a number that no plan holds.",
        '{"schema_version": 1, "plan":',
        "raworder plan SCENARIO --json > plan.json",
    ),
    error(
        "not-a-saved-plan",
        "The file is JSON, but nothing in it is a plan: it was printed by something else, or no plan was found.",
        '{"schema_version": 1, "ended": "no_plan", "papers": []}',
        "raworder plan SCENARIO --json > plan.json",
    ),
    error(
        "other-schema-version",
        "The plan was saved by an older or a newer version of raworder, which wrote it in another way.",
        '{"schema_version": 7, ...}',
        "raworder plan SCENARIO --json > plan.json",
    ),
    error(
        "other-scenario",
        "A saved plan belongs to one scenario. This scenario says something else than the one that was planned, or it "
        "was changed since then, be it only a price or its title. One from after the shop belongs to what was "
        "bought too, which it carries with it.",
        "raworder plan march.yaml --json > plan.json    # and then used with april.yaml",
        "raworder plan april.yaml --json > plan.json",
    ),
    error(
        "damaged-plan",
        "Something in the saved plan is of the wrong type, or speaks of a dog, a cut, an offer or a bag that is not "
        "there, or was altered after it was printed. A saved plan is not to be changed by hand.",
        '"batch_g": "a lot"',
        '"batch_g": 1750',
    ),
    error(
        "unknown-supplier",
        "A receipt, or a supplement, names a supplier that the scenario does not have.",
        "bought: [{supplier: Holow Lane, cut: kale, weight: 500 g}]",
        "bought: [{supplier: Hollow Lane, cut: kale, weight: 500 g}]",
    ),
    error(
        "ambiguous-offer",
        "Several offers of the supplier fit the line, and which one was bought must be known. What tells them apart is "
        "the item or the code, or what so many packs weigh.",
        "bought: [{supplier: Hollow Lane, cut: chicken neck, packs: 2}]",
        "bought: [{supplier: Hollow Lane, cut: chicken neck, code: N5, packs: 2}]",
    ),
    error(
        "bought-twice",
        "Two lines of the receipt are about the same offer, and whether both count cannot be told.",
        "- {supplier: Hollow Lane, cut: kale, weight: 300 g}\n- {supplier: Hollow Lane, cut: kale, weight: 200 g}",
        "- {supplier: Hollow Lane, cut: kale, weight: 500 g}",
    ),
    error(
        "line-against-itself",
        "A line says that nothing was bought and also what it weighed or cost, or that packs weighed nothing.",
        "bought: [{supplier: Hollow Lane, cut: chicken neck, packs: 0, paid: 4.80}]",
        "bought: [{supplier: Hollow Lane, cut: chicken neck, packs: 0}]",
    ),
    error(
        "unknown-substitute",
        "What was bought instead of something else is on no list of that supplier, so the scenario itself must know "
        "the cut, or nothing is known of its bone, its fat and whom it must not go to.",
        "bought: [{supplier: Hollow Lane, cut: tripe, weight: 2 kg, paid: 7.00}]   # no tripe in the scenario",
        "cuts: [{cut: tripe, price: 3.50 per kg}]                                  # in the scenario",
    ),
    warning(
        "unlike-the-list",
        "What packs weighed, or what was paid, is more than a quarter off what the price list says. Often the number "
        "of packs was changed and the weight or the money beside it was not.",
        "bought: [{supplier: Hollow Lane, cut: chicken neck, packs: 1, paid: 4.80}]   # 2.40 on the list",
        "bought: [{supplier: Hollow Lane, cut: chicken neck, packs: 1, paid: 2.40}]",
    ),
    error(
        "not-a-record",
        "A record of weighing begins with a line that says so, in the one version that can be read.",
        "bag,cut,grams",
        "raworder-weighing,2,...",
    ),
    error(
        "other-plan",
        "A record of weighing belongs to one plan, as the same bag of another one may hold something else.",
        "a record begun before the batch was planned again",
        "a new file for the record of the new plan",
    ),
    error(
        "broken-record",
        "A line of the record does not tell its number, a bag of the plan, a cut that goes into it and whole grams, or "
        "a number is missing or there twice. A line that cannot be mended keeps its number alone, as in `3,,,`, and is "
        "weighed again. The last line may be torn, as happens when the power goes; it is passed over.",
        "3,12,beef trim,many",
        "3,12,beef trim,415",
    ),
)
