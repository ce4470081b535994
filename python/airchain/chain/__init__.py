"""A build of the chain and what it answers: pulls, stations, ladders, sweeps, cycles."""
