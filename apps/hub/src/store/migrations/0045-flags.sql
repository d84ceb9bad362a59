-- A person's word on a flag. The flag itself is worked out anew from the ledger; what it said is kept beside the word.
create table flag_word (
  fleet text not null references fleet,
  flag text not null,
  at bigint not null,
  by text not null,
  note text not null,
  said jsonb not null,
  primary key (fleet, flag)
);
alter table flag_word enable row level security;
alter table flag_word force row level security;
create policy own_fleet on flag_word to :app using (fleet = (select tenant())) with check (fleet = (select tenant()));
grant select, insert, update, delete on flag_word to :app;

-- Flow without a session stands in the journal's alarms.
create index entry_alarm on entry (fleet, at) where kind = 'alarm';
