"""``python -m kit``: the command line's door."""

from kit.cli import main

if __name__ == "__main__":
    main()
