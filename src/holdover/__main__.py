"""`python -m holdover`."""

from holdover.cli import main

main()
