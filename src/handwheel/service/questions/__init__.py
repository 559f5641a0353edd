"""Questions on the terminal that write a shop file: what is asked, how an answer is read, where one stands."""
