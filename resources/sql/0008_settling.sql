-- How a reading settled, where somebody noted it: seconds and millivolts, `0:-3.1;10:95.4;20:141`. Absent in every reading written before.
ALTER TABLE readings ADD COLUMN settle TEXT CHECK (settle <> '');
