"""What the service keeps: tables, transactions, migrations. The only importer of SQLAlchemy."""
