"""Qt view objects over snapshots. Data goes one way: faces read properties and call intent slots."""
