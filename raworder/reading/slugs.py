"""Every slug that a reading can give, for `raworder help`."""

from collections.abc import Mapping
from types import MappingProxyType

from raworder.reading.slug import Slug
from raworder.reading.slugs_of_dogs import SLUGS_OF_DOGS
from raworder.reading.slugs_of_files import SLUGS_OF_FILES
from raworder.reading.slugs_of_labels import SLUGS_OF_LABELS
from raworder.reading.slugs_of_nutrients import SLUGS_OF_NUTRIENTS
from raworder.reading.slugs_of_offers import SLUGS_OF_OFFERS
from raworder.reading.slugs_of_papers import SLUGS_OF_PAPERS
from raworder.reading.slugs_of_portioning import SLUGS_OF_PORTIONING
from raworder.reading.slugs_of_values import SLUGS_OF_VALUES
from raworder.reading.slugs_of_workbooks import SLUGS_OF_WORKBOOKS

TABLES = (
    SLUGS_OF_FILES,
    SLUGS_OF_WORKBOOKS,
    SLUGS_OF_VALUES,
    SLUGS_OF_DOGS,
    SLUGS_OF_OFFERS,
    SLUGS_OF_PORTIONING,
    SLUGS_OF_LABELS,
    SLUGS_OF_NUTRIENTS,
    SLUGS_OF_PAPERS,
)

SLUGS: Mapping[str, Slug] = MappingProxyType({slug.name: slug for table in TABLES for slug in table})
"""Each slug by its name."""
