"""The queue of jobs: one carried out, many dispatched, in this process or in workers."""
