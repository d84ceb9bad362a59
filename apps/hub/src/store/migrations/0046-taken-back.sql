-- A correction that takes a charged line back holds that line as its period charged it: { line, taxes, unit, from, to }. Null for an amount.
alter table account_correction add column charged jsonb;
