"""The cheapest proved order for a home-made raw ration for dogs, and the papers that go with it."""

__version__ = "0.5.0"
