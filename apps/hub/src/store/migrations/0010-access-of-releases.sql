-- What a release changed in reach and which expectations it broke, as the person saw it who gave the words; null before this was kept.
alter table release add column access jsonb;
