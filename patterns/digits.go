package patterns

import "fmt"

// Digits is the eight digits of a serial as one number, 0 to 99,999,999. Leading zeros count:
// 42 stands for 00000042.
type Digits uint32

// Total is how many eight-digit strings there are.
const Total = 100_000_000

// Places is how many digits a serial has.
const Places = 8

// String gives all eight digits.
func (d Digits) String() string { return fmt.Sprintf("%08d", uint32(d)) }

// ParseDigits reads exactly eight characters 0 to 9. The error says what is wrong in plain words.
func ParseDigits(s string) (Digits, error) {
	if len(s) != Places {
		return 0, fmt.Errorf("%q has %d characters, a serial has %d digits", s, len(s), Places)
	}
	var d Digits
	for i := 0; i < Places; i++ {
		if s[i] < '0' || s[i] > '9' {
			return 0, fmt.Errorf("%q: character %d is %q, not a digit", s, i+1, s[i])
		}
		d = d*10 + Digits(s[i]-'0')
	}
	return d, nil
}

// at gives the digit at place i from the left, 0 to 9.
func (d Digits) at(i int) uint8 { return uint8(d / powers[i] % 10) }

// powers[i] is what one digit at place i from the left is worth.
var powers = [Places]Digits{10_000_000, 1_000_000, 100_000, 10_000, 1_000, 100, 10, 1}

// all gives the eight digits from the left.
func (d Digits) all() (a [Places]uint8) {
	for i := Places - 1; i >= 0; i-- {
		a[i] = uint8(d % 10)
		d /= 10
	}
	return a
}

// lastFour gives the last four digits from the left.
func lastFour(d Digits) [4]uint8 {
	d %= 10_000
	return [4]uint8{uint8(d / 1000), uint8(d / 100 % 10), uint8(d / 10 % 10), uint8(d % 10)}
}

// apply gives the serial after the change.
func (d Digits) apply(c Change) Digits {
	here := Digits(d.at(c.Pos))
	if c.Swap {
		next := Digits(d.at(c.Pos + 1))
		return d - here*powers[c.Pos] - next*powers[c.Pos+1] + next*powers[c.Pos] + here*powers[c.Pos+1]
	}
	return d - here*powers[c.Pos] + Digits(c.To)*powers[c.Pos]
}
