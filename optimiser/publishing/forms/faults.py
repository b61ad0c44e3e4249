"""What keeps a publication from being written in a form."""

from optimiser.domain.faults import OptimiserError


class FormNotInstalled(OptimiserError):
    """A form needs a part of the installation that is not there; the remedy is in the message."""

    code = "form-not-installed"

    def __init__(self, suffix: str, extra: str) -> None:
        self.suffix, self.extra = suffix, extra
        form = suffix.removeprefix(".").upper()
        super().__init__(
            f"Documents as {form} need the extra {extra}, which is not installed; install it with "
            f"pip install 'weatherstrip-optimiser[{extra}]', or ask for another form."
        )
