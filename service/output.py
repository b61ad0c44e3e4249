"""Writing a document to a file, whole or not at all."""

import os
import tempfile
from pathlib import Path


def write_file(path: Path, document: bytes) -> None:
    """Replace a file by a document in one step; a reader never sees half of it.

    Raises:
        OSError: the file cannot be written; what stood there is untouched.
    """
    descriptor, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
    temporary = Path(name)
    try:
        with os.fdopen(descriptor, "wb") as file:
            file.write(document)
            file.flush()
            os.fsync(file.fileno())
        temporary.chmod(_mode(path))
        temporary.replace(path)
    except BaseException:
        temporary.unlink(missing_ok=True)
        raise


def _mode(path: Path) -> int:
    """Return the permissions of the file that is replaced, else those of a new file."""
    if path.exists():
        return path.stat().st_mode & 0o777
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask
