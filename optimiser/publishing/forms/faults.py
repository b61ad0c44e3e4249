"""What keeps a publication from being written in a form."""

from optimiser.domain.faults import OptimiserError


class FormNotInstalled(OptimiserError):
    """A form needs a part of the installation that is not there; the remedy is in the message."""

    code = "form-not-installed"

    def __init__(self, suffix: str, *, package: str, extra: str) -> None:
        self.suffix, self.extra, self.package = suffix, extra, package
        form = suffix.removeprefix(".").upper()
        super().__init__(
            f"Documents as {form} need {package} (the extra {extra}), which is not installed; add "
            f"it with pip install {package}, or uv run --with {package}, or ask for another form."
        )
