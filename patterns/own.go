package patterns

import (
	"fmt"
	"strings"
)

// Place says where in a serial an own number counts.
type Place string

// Where in a serial an own number counts.
const (
	Anywhere Place = "anywhere" // also meant by ""
	Front    Place = "front"
	End      Place = "end"
)

// An OwnNumber is one to eight digits that mean something to the user.
type OwnNumber struct {
	Number string `json:"number"`           // "1607"
	Place  Place  `json:"place,omitempty"`  // where it counts
	Remark string `json:"remark,omitempty"` // "house number"
}

// MaxNumbers is how many own numbers a book can have.
const MaxNumbers = 100

// starts gives the places where the number may begin.
func (n OwnNumber) starts() []int {
	last := Places - len(n.Number)
	switch n.Place {
	case Front:
		return []int{0}
	case End:
		return []int{last}
	}
	var all []int
	for i := 0; i <= last; i++ {
		all = append(all, i)
	}
	return all
}

func (n OwnNumber) check() error {
	if n.Number == "" {
		return &PatternError{n.Number, 0, "an own number has one to eight digits, this one has none"}
	}
	for i, r := range []rune(n.Number) {
		switch {
		case r < '0' || r > '9':
			return &PatternError{n.Number, i, fmt.Sprintf("%q is not a digit", r)}
		case i == Places:
			return &PatternError{n.Number, i, "an own number has one to eight digits, this one has more"}
		}
	}
	switch n.Place {
	case "", Anywhere, Front, End:
		return nil
	}
	return &SettingError{"numbers", fmt.Sprintf("%s: %q is no place in a serial; use anywhere, front or end", n.Number, n.Place)}
}

func numberRule(list []OwnNumber) (spec, error) {
	if len(list) > MaxNumbers {
		return spec{}, &SettingError{"numbers", fmt.Sprintf("there can be %d own numbers, these are %d; take some out", MaxNumbers, len(list))}
	}
	var texts []string
	for _, n := range list {
		if err := n.check(); err != nil {
			return spec{}, err
		}
		texts = append(texts, n.Number)
	}
	return spec{
		Rule: Rule{ID: OwnNumbers, Name: "own number", Definition: "holds one of " + strings.Join(texts, ", "),
			Source: "own", Sure: "own", Example: exampleNumber(list[0])},
		tree: func(f *forest) tree {
			all := none
			for _, n := range list {
				for _, start := range n.starts() {
					all = f.union(all, anyDigits(f, start, f.number(number(n.Number), len(n.Number), every)))
				}
			}
			return all
		},
		places: func(d [Places]uint8) (mask uint8) {
			for _, n := range list {
				mask |= n.places(d)
			}
			return mask
		},
		detail: func(d Digits) string { return tellNumbers(list, d) },
	}, nil
}

// anyDigits gives any n digits followed by rest.
func anyDigits(f *forest, n int, rest tree) tree {
	for ; n > 0; n-- {
		rest = f.then(func(int) bool { return true }, rest)
	}
	return rest
}

// places gives the places of a serial where the number stands.
func (n OwnNumber) places(d [Places]uint8) (mask uint8) {
	for _, start := range n.starts() {
		same := true
		for i := range n.Number {
			same = same && d[start+i] == n.Number[i]-'0'
		}
		if same {
			mask |= (1<<len(n.Number) - 1) << start
		}
	}
	return mask
}

// tellNumbers names the numbers a serial holds, each with its remark.
func tellNumbers(list []OwnNumber, d Digits) string {
	var told []string
	for _, n := range list {
		switch {
		case n.places(d.all()) == 0:
		case n.Remark == "":
			told = append(told, n.Number)
		default:
			told = append(told, n.Number+" ("+n.Remark+")")
		}
	}
	return strings.Join(told, ", ")
}

func exampleNumber(n OwnNumber) Digits {
	d := Digits(number(n.Number))
	for i := n.starts()[0] + len(n.Number); i < Places; i++ {
		d *= 10
	}
	return d
}
