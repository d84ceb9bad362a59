-- A release goes out in waves. `state`: going, paused, stopped (a stop rule or a person; for good), ended (every wave is out, or a later release took over).
create table rollout (
  fleet text not null references fleet,
  release int not null,
  state text not null,
  -- How long each site of a wave must run it before the next wave is told.
  bake_ms bigint not null,
  wave int not null,
  wave_since bigint not null,
  why text,
  by text,
  primary key (fleet, release)
);
create table rollout_site (
  fleet text not null references fleet,
  release int not null,
  site text not null,
  wave int not null,
  -- Since when the site has said that it runs it.
  ran_since bigint,
  primary key (fleet, release, site)
);
do $$
declare t text;
begin
  foreach t in array array['rollout', 'rollout_site'] loop
    execute format('alter table %I enable row level security', t);
    execute format('alter table %I force row level security', t);
    execute format('create policy own_fleet on %I to :app using (fleet = (select tenant())) with check (fleet = (select tenant()))', t);
    execute format('grant select, insert, update, delete on %I to :app', t);
  end loop;
end $$;
