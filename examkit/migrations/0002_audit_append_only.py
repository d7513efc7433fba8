"""The database itself refuses to change or remove an entry of the audit trail."""

from django.db import NotSupportedError, migrations

TABLE = "examkit_auditentry"
REFUSAL = "The audit trail only grows: entries are never changed or removed."

SQLITE = [
    f"CREATE TRIGGER audit_no_{verb.lower()} BEFORE {verb} ON {TABLE} "
    f"BEGIN SELECT RAISE(ABORT, '{REFUSAL}'); END"
    for verb in ("UPDATE", "DELETE")
]
SQLITE_UNDO = ["DROP TRIGGER IF EXISTS audit_no_update", "DROP TRIGGER IF EXISTS audit_no_delete"]
POSTGRESQL = [
    f"""CREATE OR REPLACE FUNCTION audit_refuse() RETURNS trigger LANGUAGE plpgsql AS
    $$ BEGIN RAISE EXCEPTION '{REFUSAL}' USING ERRCODE = 'integrity_constraint_violation'; END $$""",
    f"CREATE TRIGGER audit_no_change BEFORE UPDATE OR DELETE ON {TABLE} "
    "FOR EACH ROW EXECUTE FUNCTION audit_refuse()",
    f"CREATE TRIGGER audit_no_truncate BEFORE TRUNCATE ON {TABLE} "
    "FOR EACH STATEMENT EXECUTE FUNCTION audit_refuse()",
]
POSTGRESQL_UNDO = [
    f"DROP TRIGGER IF EXISTS audit_no_change ON {TABLE}",
    f"DROP TRIGGER IF EXISTS audit_no_truncate ON {TABLE}",
    "DROP FUNCTION IF EXISTS audit_refuse()",
]


def protect(connection):
    """Put the triggers on the table."""
    _run(connection, {"sqlite": SQLITE, "postgresql": POSTGRESQL})


def unprotect(connection):
    """Take the triggers off again (undoing this migration; emptying a test database)."""
    _run(connection, {"sqlite": SQLITE_UNDO, "postgresql": POSTGRESQL_UNDO})


def _run(connection, statements):
    if connection.vendor not in statements:
        raise NotSupportedError(f"No append-only trail for {connection.vendor}. Use SQLite or PostgreSQL.")
    with connection.cursor() as cursor:
        for statement in statements[connection.vendor]:
            cursor.execute(statement)


class Migration(migrations.Migration):
    dependencies = [("examkit", "0001_initial")]
    operations = [migrations.RunPython(
        lambda apps, editor: protect(editor.connection), lambda apps, editor: unprotect(editor.connection),
    )]
