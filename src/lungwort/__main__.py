"""`python -m lungwort` is the command `lungwort`."""

from lungwort.cli.app import main

main()
