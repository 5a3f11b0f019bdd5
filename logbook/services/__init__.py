"""Room `services`: the verbs. Each owns one transaction; none prints."""
