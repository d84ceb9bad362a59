-- What the bill of lading says of a delivery, beside its line in the tank's book.
create table bill (
  fleet text not null references fleet,
  move text not null,
  document text not null,
  gross bigint not null,
  net bigint,
  temp_c double precision,
  compartments jsonb not null,
  primary key (fleet, move),
  foreign key (fleet, move) references tank_move
);
alter table bill enable row level security;
alter table bill force row level security;
create policy own_fleet on bill to :app using (fleet = (select tenant())) with check (fleet = (select tenant()));
grant select, insert, update, delete on bill to :app;
