"""Trials that measure this lathe: what to do, what to enter, what it tells, what to change in the shop file."""
