-- Every table's key leads with the fleet. Row-level security is forced on each: the runtime role owns nothing, and a query without
-- a tenant is an error, not an empty answer.
do $$ begin
  if not exists (select from pg_roles where rolname = replace(':app', '"', '')) then create role :app nologin; end if;
  if not exists (select from pg_roles where rolname = replace(':lookup', '"', '')) then create role :lookup nologin; end if;
end $$;
grant :app to current_user;
grant :lookup to current_user;
grant usage on schema :schema to :app, :lookup;

create function tenant() returns text language plpgsql stable as $$
declare fleet text := current_setting('fillwright.fleet', true);
begin
  if fleet is null or fleet = '' then raise exception 'no tenant is set' using errcode = 'insufficient_privilege'; end if;
  return fleet;
end $$;
grant execute on function tenant() to :app;

create table fleet (
  fleet text primary key,
  created_at bigint not null,
  -- The draft's version; each change adds one.
  version int not null,
  -- The release that the draft began from.
  base int
);

create table account (
  fleet text not null references fleet,
  id text not null,
  email text not null,
  name text not null,
  role text not null check (role in ('owner', 'editor', 'technician', 'viewer')),
  password text not null,
  open boolean not null default true,
  wrong_tries int not null default 0,
  tried_at bigint,
  last_seen bigint,
  primary key (fleet, id)
);
create unique index account_email on account (lower(email));

create table session (
  fleet text not null,
  hash text not null,
  account text not null,
  until bigint not null,
  primary key (fleet, hash),
  foreign key (fleet, account) references account
);

-- A row of a table of the fleet, with the versions in which it stands: from `from_version` until before `to_version`.
create table entity (
  fleet text not null references fleet,
  tbl text not null,
  id text not null,
  from_version int not null,
  to_version int,
  row jsonb not null,
  primary key (fleet, tbl, id, from_version)
);
create unique index entity_standing on entity (fleet, tbl, id) where to_version is null;

create table change (
  fleet text not null references fleet,
  version int not null,
  at bigint not null,
  by text not null,
  kind text not null,
  note text not null,
  edits jsonb not null,
  inverse jsonb not null,
  -- For an undo the version that it takes back; for a redo the undo that it takes back.
  of_version int,
  -- True where undo passes over it, such as an urgent stop.
  lasting boolean not null default false,
  primary key (fleet, version)
);

create table release (
  fleet text not null references fleet,
  number int not null,
  version int not null,
  at bigint not null,
  by text not null,
  note text not null,
  digest text not null,
  changes jsonb not null,
  words jsonb not null,
  primary key (fleet, number)
);

create table bundle (
  fleet text not null,
  site text not null,
  revision int not null,
  digest text not null,
  bytes int not null,
  signed text not null,
  signature text not null,
  primary key (fleet, site, revision),
  foreign key (fleet, revision) references release
);
