"""What a user can do, one function each: the room that joins the files, the store and the pure rooms."""
