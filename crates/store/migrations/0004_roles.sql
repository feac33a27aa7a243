-- What a device may do, as a word; the invitation says it, the device keeps it. Devices that joined before may do all.
ALTER TABLE devices ADD COLUMN role TEXT NOT NULL DEFAULT 'electrician';
ALTER TABLE invitations ADD COLUMN role TEXT NOT NULL DEFAULT 'electrician';
