"""The faces of crewlink: they show snapshots and send commands; bytes, sockets and rules stay below."""
