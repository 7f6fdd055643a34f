"""`python -m raworder` is the command line too."""

from raworder.cli import main

main()
