-- Conditions may name the visit they were observed on; those that are there name none.

ALTER TABLE condition ADD COLUMN visit_id VARCHAR REFERENCES visit (id);
CREATE INDEX ix_condition_visit_id ON condition (visit_id);
