"""From a symptom and evidence to an ordered list of what to check first, with the numbers of this job."""
