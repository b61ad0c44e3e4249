"""Who may do what: tenants, keys and scopes."""
