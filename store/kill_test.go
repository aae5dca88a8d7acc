package store

func writeUntilKilled(path string) {}
