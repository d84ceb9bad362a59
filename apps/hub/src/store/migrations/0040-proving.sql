-- Proving runs of meters. `run` is what was done at the island, `judged` what followed from it that day; both as they were.
create table proving (
  fleet text not null references fleet,
  id text not null,
  site text not null,
  hose text not null,
  at bigint not null,
  by text not null,
  run jsonb not null,
  judged jsonb not null,
  note text not null,
  -- The tank that the test fuel went back to, its volume, and the line in that tank's book; null where none went back.
  tank text,
  returned bigint,
  move text,
  primary key (fleet, id)
);
create index proving_newest on proving (fleet, hose, at desc);
alter table proving enable row level security;
alter table proving force row level security;
create policy own_fleet on proving to :app using (fleet = (select tenant())) with check (fleet = (select tenant()));
grant select, insert, update, delete on proving to :app;

-- A fill that was drawn for a proving run is no sale.
alter table fill add column proving text;

alter table tank_move drop constraint tank_move_kind_check;
alter table tank_move add constraint tank_move_kind_check
  check (kind in ('fill', 'delivery', 'dip', 'correction', 'proving'));
