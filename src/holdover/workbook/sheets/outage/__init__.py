"""The outage, hour by hour: how it is planned, what each candidate holds and serves, what if."""
