create table join_code (
  fleet text not null references fleet,
  hash text not null,
  site text not null,
  until bigint not null,
  used boolean not null default false,
  primary key (fleet, hash)
);

-- The box that joined a site last: its keys and what it signs in with at the broker.
create table box (
  fleet text not null references fleet,
  site text not null,
  joined_at bigint not null,
  box text not null,
  sign_key text not null,
  seal_key text not null,
  password text not null,
  primary key (fleet, site)
);

-- What each site last said of itself, and when.
create table site_state (
  fleet text not null references fleet,
  site text not null,
  wanted int,
  wanted_since bigint,
  link text not null default 'never',
  link_since bigint,
  heard_at bigint,
  delivered int,
  delivered_since bigint,
  said jsonb,
  primary key (fleet, site)
);

create table entry (
  fleet text not null references fleet,
  site text not null,
  epoch text not null,
  seq bigint not null,
  at bigint not null,
  hash text not null,
  kind text not null,
  fill text,
  text text not null,
  -- Why it was set aside; null where it was understood.
  aside text,
  primary key (fleet, site, epoch, seq)
);
create index entry_fill on entry (fleet, fill) where fill is not null;
create index entry_aside on entry (fleet, at) where aside is not null;

-- Up to where a site's journal has come without a gap, and the highest that has come at all.
create table journal_mark (
  fleet text not null references fleet,
  site text not null,
  epoch text not null,
  up_to bigint not null,
  top bigint not null,
  primary key (fleet, site, epoch)
);

create table fill (
  fleet text not null references fleet,
  id text not null,
  site text not null,
  terminal text not null,
  hose text not null,
  hose_number int not null,
  product text not null,
  driver text,
  driver_name text not null,
  vehicle text,
  vehicle_name text not null,
  cost_centre text,
  revision int not null,
  started_at bigint not null,
  ended_at bigint,
  pulses bigint not null default 0,
  volume bigint not null default 0,
  limit_volume bigint not null,
  overrun bigint not null default 0,
  price bigint,
  amount bigint,
  unit text not null,
  state text not null check (state in ('open', 'ended', 'interrupted')),
  stop_reason text,
  armed_at bigint,
  curve jsonb not null default '[]',
  answers jsonb not null,
  decision jsonb not null,
  search text not null,
  primary key (fleet, id)
);
create index fill_newest on fill (fleet, started_at desc, id desc);

create table refusal (
  fleet text not null references fleet,
  id text not null,
  site text not null,
  at bigint not null,
  terminal text not null,
  hose text,
  by text not null,
  driver text,
  vehicle text,
  revision int not null,
  decision jsonb not null,
  primary key (fleet, id)
);
create index refusal_newest on refusal (fleet, at desc, id desc);

-- Totals of what a holder drew under an allowance at a site on a local date.
create table usage (
  fleet text not null references fleet,
  site text not null,
  holder text not null,
  allowance text not null,
  date text not null,
  volume bigint not null,
  fills int not null,
  primary key (fleet, site, holder, allowance, date)
);

-- The book of a tank; `number` orders moves of one moment.
create table tank_move (
  fleet text not null references fleet,
  id text not null,
  number bigint generated always as identity,
  tank text not null,
  at bigint not null,
  kind text not null check (kind in ('fill', 'delivery', 'dip', 'correction')),
  volume bigint not null,
  by text not null,
  note text not null,
  fill text,
  primary key (fleet, id)
);
create index tank_move_newest on tank_move (fleet, tank, at desc, number desc);

create table tank_reading (
  fleet text not null references fleet,
  site text not null,
  epoch text not null,
  seq bigint not null,
  tank text not null,
  at bigint not null,
  moment text not null,
  fill text,
  level_mm double precision,
  water_mm double precision,
  temp_c double precision,
  volume bigint,
  primary key (fleet, site, epoch, seq)
);
create index tank_reading_newest on tank_reading (fleet, tank, at desc);

create table stop (
  fleet text not null references fleet,
  id text not null,
  credential text not null,
  at bigint not null,
  by text not null,
  reason text not null,
  primary key (fleet, id)
);
create table stop_site (
  fleet text not null,
  stop text not null,
  site text not null,
  signed text not null,
  signature text not null,
  got_at bigint,
  primary key (fleet, stop, site),
  foreign key (fleet, stop) references stop
);

-- A PIN at rest is encrypted with a key that lies outside the database; null takes it away.
create table pin (
  fleet text not null references fleet,
  driver text not null,
  secret text,
  version int not null,
  primary key (fleet, driver)
);
create table pin_taken (
  fleet text not null references fleet,
  site text not null,
  version int not null,
  primary key (fleet, site)
);
