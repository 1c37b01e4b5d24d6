"""Where the program begins: `holdover` and `python -m holdover`. What may go wrong while it is loaded is minded here."""

import sys

NO_MEMORY = "error: there is not enough memory\n   = help: close other programs, or allow this one more\n"


def main() -> None:
    """Run the command line; an interrupt, or too little memory to load it, ends it as they do later on."""
    try:
        from holdover.cli import main as run

        run()
    except KeyboardInterrupt:
        sys.exit(130)
    except (MemoryError, SystemError):  # the second one where the interpreter itself ran out of it
        sys.stderr.write(NO_MEMORY)
        sys.exit(4)


if __name__ == "__main__":
    main()
