"""`python -m chartgen`."""

from chartgen.cli import main

if __name__ == "__main__":
    main()
