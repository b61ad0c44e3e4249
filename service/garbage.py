"""The garbage collector of a process that is to answer soon."""

import gc

NEW_OBJECTS = 20_000
"""New objects between two looks at the young: a plan is written in fewer."""


def spare_what_stays() -> None:
    """Have the collector pass over what has been loaded, and look at what is new less often.

    To be called once, when a process has loaded what it works with: the modules are some hundred
    thousand objects, which would be looked through again and again and never go.
    """
    gc.collect()
    gc.freeze()
    gc.set_threshold(NEW_OBJECTS, *gc.get_threshold()[1:])
