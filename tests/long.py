"""Many cases of what every run tries a few of: `python -m tests.long --times 100`, and whatever else pytest takes."""

import sys

import pytest


def main(arguments: list[str]) -> int:
    """Run the tests that try few of many cases, a hundred times as long as in every run if nothing else is said."""
    return pytest.main(["-q", "-m", "long", "--times", "100", *arguments])


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
