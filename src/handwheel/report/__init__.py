"""The sheet on paper and in text: what a plan says, in words and figures for a person at the machine."""
