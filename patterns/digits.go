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
