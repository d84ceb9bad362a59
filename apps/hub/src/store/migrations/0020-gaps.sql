-- `claimed`: up to where the box believes that the office has all. More than is here: the office was restored from an older backup.
alter table journal_mark add column claimed bigint not null default 0;
-- When and where this journal was seen to be two: copied with its box, or rolled back.
alter table journal_mark add column forked_at bigint;
alter table journal_mark add column forked_seq bigint;

-- Entries that neither office nor box has any more. Nothing beyond them is acknowledged until a person has given a word.
create table journal_gap (
  fleet text not null references fleet,
  site text not null,
  epoch text not null,
  from_seq bigint not null,
  to_seq bigint not null,
  noticed_at bigint not null,
  word text,
  by text,
  at bigint,
  primary key (fleet, site, epoch, from_seq)
);
alter table journal_gap enable row level security;
alter table journal_gap force row level security;
create policy own_fleet on journal_gap to :app using (fleet = (select tenant())) with check (fleet = (select tenant()));
grant select, insert, update, delete on journal_gap to :app;
