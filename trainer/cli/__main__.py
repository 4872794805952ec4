"""Let `python -m trainer.cli` be the command `trainer`, for folders whose scripts cannot be run."""

from trainer.cli import main

main()
