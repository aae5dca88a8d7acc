package patterns

// A Watch says which rules stop the sorter: by a hit, and by a near miss.
type Watch struct {
	Hit  Set `json:"hit"`
	Near Set `json:"near"`
}
