"""``python -m finial``."""

from finial.cli.main import main

if __name__ == "__main__":
    main()
