"""Pass schedules with a price: laws of cutting, the job in passes, its optimum and the proof."""
