"""What the service works out from inputs alone: fits, and packs from weighed samples."""

from optimiser.domain.faults import Fault, InvalidOrder
from optimiser.explain import leaf_cautions
from optimiser.field import calibrate_pack
from optimiser.fit import FitInputs, FitRejected, work_out_fit
from optimiser.render import render_calibration, render_fit
from service.mapping.faults import FaultGatherer
from service.mapping.fit_in import FitReader
from service.mapping.fit_out import write_fit
from service.mapping.inputs import invalid_inputs, read_inputs
from service.mapping.weighing import to_samples, write_calibration
from service.wire.fit import FitInputs as WireFitInputs
from service.wire.weighing import WeighedSamples


def write_fit_document(body: bytes, as_text: bool) -> bytes:
    """Return the fit of a profile to a leaf in UTF-8, as text or as JSON.

    Raises:
        Problem: the inputs cannot be read, or cannot be; all faults are listed.
    """

    def take(
        stated: WireFitInputs, gatherer: FaultGatherer
    ) -> tuple[WireFitInputs, FitInputs, int | None]:
        reader = FitReader(stated.unit, (), gatherer)
        strip_nm = reader.read_strip_length(stated.heat)
        if stated.heat is not None and strip_nm is None:
            gatherer.add(
                ("heat", "length"), "strip-length-missing", "is missing; state the strip's length."
            )
        return stated, reader.read(stated), strip_nm

    stated, inputs, strip_nm = read_inputs(body, WireFitInputs, take)
    try:
        fit = work_out_fit(inputs, strip_nm=strip_nm, unit=stated.unit)
    except FitRejected as rejected:
        raise invalid_inputs(rejected.faults) from None
    if as_text:
        return render_fit(fit, stated.unit, leaf_cautions()).encode()
    return write_fit(fit, stated.unit, leaf_cautions()).model_dump_json().encode()


def write_calibration_document(body: bytes, as_text: bool) -> bytes:
    """Return what weighed samples say of a pack in UTF-8, as text or as JSON.

    Raises:
        Problem: the inputs cannot be read, or cannot be; all faults are listed.
    """
    samples, pack, step = read_inputs(body, WeighedSamples, to_samples)
    try:
        calibrated = calibrate_pack(samples, pack, scale_step_grams=step)
    except InvalidOrder as rejected:
        raise invalid_inputs(
            Fault(
                ("pack_weight",) if fault.path == ("pack",) else fault.path,
                fault.code,
                fault.message,
            )
            for fault in rejected.faults
        ) from None
    if as_text:
        return render_calibration(calibrated).encode()
    return write_calibration(calibrated).model_dump_json().encode()
