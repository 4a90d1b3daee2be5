"""The desk: a form in the browser of this computer, the plan beside it, over one job file."""
