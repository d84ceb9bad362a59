-- What the office keeps of money: taxes as entered, periods as closed, and what each period took.
create table account_tax (
  fleet text not null references fleet,
  id text not null,
  row jsonb not null,
  by text not null,
  at bigint not null,
  primary key (fleet, id)
);
-- A closed period, whole: `text` is its statement as canonical JSON, `digest` that text's SHA-256. Days since 1970-01-01, both included.
create table account_period (
  fleet text not null references fleet,
  number int not null,
  from_day int not null,
  to_day int not null check (to_day >= from_day),
  closed_at bigint not null,
  closed_by text not null,
  word text not null,
  digest text not null,
  text text not null,
  primary key (fleet, number)
);
-- Which period took a fill: one, once.
create table account_taken (
  fleet text not null references fleet,
  fill text not null,
  period int not null,
  primary key (fleet, fill),
  foreign key (fleet, period) references account_period
);
-- An amount put right; `period` is the one that took it, none while it is open.
create table account_correction (
  fleet text not null references fleet,
  id text not null,
  day int not null,
  cost_centre text not null,
  amount bigint not null,
  reason text not null,
  by text not null,
  at bigint not null,
  period int,
  primary key (fleet, id),
  foreign key (fleet, period) references account_period
);
do $$
declare t text;
begin
  foreach t in array array['account_tax', 'account_period', 'account_taken', 'account_correction'] loop
    execute format('alter table %I enable row level security', t);
    execute format('alter table %I force row level security', t);
    execute format('create policy own_fleet on %I to :app using (fleet = (select tenant())) with check (fleet = (select tenant()))', t);
    execute format('grant select, insert on %I to :app', t);
  end loop;
end $$;
-- What is closed, the hub itself cannot change or take away.
grant update, delete on account_tax to :app;
grant update (period) on account_correction to :app;
