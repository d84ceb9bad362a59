-- Which of the office's keys a box goes by, as it has said; a box that joins goes by the key of that moment.
create table key_taken (
  fleet text not null references fleet,
  site text not null,
  version integer not null,
  at bigint not null,
  primary key (fleet, site)
);
alter table key_taken enable row level security;
alter table key_taken force row level security;
create policy own_fleet on key_taken to :app using (fleet = (select tenant())) with check (fleet = (select tenant()));
grant select, insert, update, delete on key_taken to :app;
