"""What may stand in a job file, table by table. Reading it: table/job.py."""
