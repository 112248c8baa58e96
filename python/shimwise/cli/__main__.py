"""`python -m shimwise.cli`."""

from shimwise.cli import main

main()
