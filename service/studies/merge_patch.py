"""JSON Merge Patch (RFC 7396) on values as `read_json` gives them."""

from typing import Any


def merge_patch(target: Any, patch: Any) -> Any:
    """Return the target with the patch applied; neither is changed, and what is the same is shared.

    A member that is null in the patch is removed; an array is replaced as a whole.

    Source: RFC 7396, section 2, the function MergePatch.
    """
    if not isinstance(patch, dict):
        return patch
    merged = dict(target) if isinstance(target, dict) else {}
    for name, value in patch.items():
        if value is None:
            merged.pop(name, None)
        else:
            merged[name] = merge_patch(merged.get(name), value)
    return merged
