"""Places: where trips and records met them, and two records of one place made one."""
