"""Mark schemes: a centre's own copied and edited; another one for an exam, shown before it is done."""
