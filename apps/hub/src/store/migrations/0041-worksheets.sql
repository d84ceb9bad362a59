-- Commissioning worksheets. `sheet` is what was made of the release; results and photos come from tablets that may be offline, so their ids
-- are made there and the same one may come twice.
create table worksheet (
  fleet text not null references fleet,
  id text not null,
  site text not null,
  release int not null,
  made_at bigint not null,
  made_by text not null,
  sheet jsonb not null,
  signed_at bigint,
  signed_by text,
  signer text,
  -- The drawn signature as the path of an SVG, in a box of 600 by 200.
  signature text,
  primary key (fleet, id)
);
create table worksheet_result (
  fleet text not null,
  worksheet text not null,
  id text not null,
  step text not null,
  at bigint not null,
  by text not null,
  verdict text not null check (verdict in ('good', 'bad', 'stands', 'open')),
  note text not null,
  primary key (fleet, worksheet, id),
  foreign key (fleet, worksheet) references worksheet
);
create table worksheet_photo (
  fleet text not null,
  worksheet text not null,
  id text not null,
  step text not null,
  at bigint not null,
  by text not null,
  type text not null,
  bytes bytea not null,
  primary key (fleet, worksheet, id),
  foreign key (fleet, worksheet) references worksheet
);
do $$
declare t text;
begin
  foreach t in array array['worksheet', 'worksheet_result', 'worksheet_photo'] loop
    execute format('alter table %I enable row level security', t);
    execute format('alter table %I force row level security', t);
    execute format('create policy own_fleet on %I to :app using (fleet = (select tenant())) with check (fleet = (select tenant()))', t);
    execute format('grant select, insert, update, delete on %I to :app', t);
  end loop;
end $$;
