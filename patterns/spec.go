package patterns

// A spec is a rule with what decides it: a test of the shape, or a tree of serials.
type spec struct {
	Rule
	shape  func(*form) bool          // nil when the rule speaks of particular digits
	tree   func(*forest) tree        // nil when it does not
	places func([Places]uint8) uint8 // the places a finding rests on; nil for all eight
	detail func(Digits) string       // what the name alone does not say; may be nil
}

// Names gives the name of every rule the settings describe, without the tables of a book. The errors are
// those of NewBook.
func Names(s Settings) (map[ID]string, error) {
	rules, err := specs(s)
	if err != nil {
		return nil, err
	}
	names := make(map[ID]string, len(rules))
	for _, r := range rules {
		names[r.ID] = r.Name
	}
	return names, nil
}

// specs gives every rule the settings describe.
func specs(s Settings) ([]spec, error) {
	if err := s.check(); err != nil {
		return nil, err
	}
	rules := equalRules(s)
	rules = append(rules, ladderRules(s)...)
	rules = append(rules, turnedRules(s)...)
	rules = append(rules, valueRules(s)...)
	if len(s.orders()) > 0 {
		rules = append(rules, dateRule(s))
	}
	if len(s.Numbers) > 0 {
		r, err := numberRule(s.Numbers)
		if err != nil {
			return nil, err
		}
		rules = append(rules, r)
	}
	own, err := templateRules(s.Templates)
	return append(rules, own...), err
}
