"""Frozen types that every other part speaks: order, demand, decision, plan, faults."""
