-- The wall between tenants, on every table that there is so far.
do $$
declare t record;
begin
  for t in select tablename from pg_tables where schemaname = replace(':schema', '"', '') and tablename <> 'migration' loop
    execute format('alter table %I enable row level security', t.tablename);
    execute format('alter table %I force row level security', t.tablename);
    execute format(
      'create policy own_fleet on %I to :app using (fleet = (select tenant())) with check (fleet = (select tenant()))',
      t.tablename);
    execute format('grant select, insert, update, delete on %I to :app', t.tablename);
  end loop;
end $$;

-- What must be known before the tenant is: as narrow functions of a role that may read just these.
grant create on schema :schema to :lookup;
grant select (fleet, id, email) on account to :lookup;
grant select on join_code to :lookup;
grant select (fleet) on fleet to :lookup;
create policy look_up on account for select to :lookup using (true);
create policy look_up on join_code for select to :lookup using (true);
create policy look_up on fleet for select to :lookup using (true);

create function every_fleet() returns setof text language sql stable security definer set search_path = :schema
  as $$ select fleet from fleet $$;
create function account_by_email(wanted text) returns table (fleet text, id text) language sql stable security definer
  set search_path = :schema as $$ select a.fleet, a.id from account a where lower(a.email) = lower(wanted) $$;
create function join_code_by_hash(wanted text) returns table (fleet text, site text) language sql stable security definer
  set search_path = :schema as $$ select j.fleet, j.site from join_code j where j.hash = wanted $$;
alter function every_fleet() owner to :lookup;
alter function account_by_email(text) owner to :lookup;
alter function join_code_by_hash(text) owner to :lookup;
revoke create on schema :schema from :lookup;
revoke execute on function every_fleet(), account_by_email(text), join_code_by_hash(text) from public;
grant execute on function every_fleet(), account_by_email(text), join_code_by_hash(text) to :app;
