"""`python -m plantpick` does what the `plantpick` command does."""

from plantpick.cli.app import main

if __name__ == "__main__":
    main()
