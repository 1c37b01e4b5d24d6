"""Where the program begins: `holdover` and `python -m holdover`. What may go wrong while it is loaded is minded here."""

import sys

NO_MEMORY = "error: there is not enough memory\n   = help: close other programs, or allow this one more\n"
NEEDED = 40 * 2**20
"""What loading takes at the least [bytes]. A library of ours ends the process by itself where it gets none."""


def mind_memory() -> None:
    """MemoryError where the process is limited to less than loading takes."""
    try:
        import resource

        most, _ = resource.getrlimit(resource.RLIMIT_AS)
        if most == resource.RLIM_INFINITY:
            return
        with open("/proc/self/statm", encoding="ascii") as told:  # noqa: PTH123  (nothing is loaded yet)
            taken = int(told.read().split()[0]) * resource.getpagesize()
    except (ImportError, OSError):  # a system that tells neither
        return
    if most - taken < NEEDED:
        raise MemoryError


def main() -> None:
    """Run the command line; an interrupt, or too little memory to load it, ends it as they do later on."""
    try:
        mind_memory()
        from holdover.library import collect_seldom

        collect_seldom()
        from holdover.cli import main as run

        run()
    except KeyboardInterrupt:
        sys.exit(130)
    except (MemoryError, SystemError):  # the second one where the interpreter itself ran out of it
        sys.stderr.write(NO_MEMORY)
        sys.exit(4)


if __name__ == "__main__":
    main()
