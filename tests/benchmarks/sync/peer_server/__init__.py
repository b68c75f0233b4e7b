"""What RxDB's replication needs of a server, on our Django: one plain table, three addresses."""
