/* The tables of a recorded night, as statements of SQL. Internal to sim/journal_store.c. */
#ifndef SIM_JOURNAL_SCHEMA_H
#define SIM_JOURNAL_SCHEMA_H

/* Makes all tables of the newest schema (JOURNAL_STORE_SCHEMA). */
const char *sim_journal_schema(void);

/* Brings a night of `schema` (1..JOURNAL_STORE_SCHEMA - 1) to the next one. */
const char *sim_journal_schema_step(int schema);

#endif
