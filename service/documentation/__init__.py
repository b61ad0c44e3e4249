"""The documentation page, made of the OpenAPI document; nothing is loaded from elsewhere."""
