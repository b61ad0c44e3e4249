"""Webhooks: where they may lead, and bringing messages to them."""
