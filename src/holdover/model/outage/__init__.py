"""The outage, hour by hour: what comes in and goes out, what storage must hold, what runs when, and what if."""
