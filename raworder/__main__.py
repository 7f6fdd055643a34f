"""`python -m raworder` is the command line too."""

from raworder.cli import main

if __name__ == "__main__":
    main()
