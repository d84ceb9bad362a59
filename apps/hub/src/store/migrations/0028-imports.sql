-- A file that was read and waits for a person's word: it outlives a restart, and another process of the office finds it too.
create table waiting_import (
  fleet text not null references fleet,
  id text not null,
  name text not null,
  raw json not null,
  mapping jsonb,
  until bigint not null,
  primary key (fleet, id)
);
alter table waiting_import enable row level security;
alter table waiting_import force row level security;
create policy own_fleet on waiting_import to :app using (fleet = (select tenant())) with check (fleet = (select tenant()));
grant select, insert, update, delete on waiting_import to :app;
