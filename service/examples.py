"""Where the examples of the contract are kept."""

from pathlib import Path


def examples_folder() -> Path | None:
    """Return the folder of the examples: beside the packages in a checkout, else inside.

    `None` where neither is there.
    """
    package = Path(__file__).parent
    for folder in (package.parent / "openapi" / "examples", package / "examples"):
        if folder.is_dir():
            return folder
    return None
