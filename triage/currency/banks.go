package currency

import "strconv"

// A Bank is one of the twelve Federal Reserve Banks. Since about 1990 its letter on a note is an
// accounting label: a bank can receive notes of any district (common practice).
type Bank struct {
	Number int // 1 to 12, the number of the district
	Letter byte
	City   string
	Sure   Sure
	Source string
}

// Banks lists the twelve, number by number. On $1 and $2 the letter stands in the round seal and in
// front of the digits, the number at the four corners of the design; on $5 and up since Series 1996
// both stand under the upper left serial, such as L12, and the letter is the second one in front of
// the digits [U1][LT2].
var Banks = []Bank{
	{1, 'A', "Boston", Published, "[U1][F3][LT2]"},
	{2, 'B', "New York", Published, "[U1][F3][LT2]"},
	{3, 'C', "Philadelphia", Published, "[U1][F3][LT2]"},
	{4, 'D', "Cleveland", Published, "[U1][F3][LT2]"},
	{5, 'E', "Richmond", Published, "[U1][F3][LT2]"},
	{6, 'F', "Atlanta", Published, "[U1][F3][LT2]"},
	{7, 'G', "Chicago", Published, "[U1][F3][LT2]"},
	{8, 'H', "St. Louis", Published, "[U1][F3][LT2]"},
	{9, 'I', "Minneapolis", Published, "[U1][F3][LT2]"},
	{10, 'J', "Kansas City", Published, "[U1][F3][LT2]"},
	{11, 'K', "Dallas", Published, "[U1][F3][LT2]"},
	{12, 'L', "San Francisco", Published, "[U1][F3][LT2]"},
}

// BankOf gives the bank of a letter A to L.
func BankOf(letter byte) (b Bank, ok bool) {
	if letter < 'A' || letter > 'L' {
		return Bank{}, false
	}
	return Banks[letter-'A'], true
}

// BankNumber gives the bank of a district number 1 to 12.
func BankNumber(number int) (b Bank, ok bool) {
	if number < 1 || number > len(Banks) {
		return Bank{}, false
	}
	return Banks[number-1], true
}

// named gives a bank as it stands in a sentence: "G, district 7, Chicago".
func (b Bank) named() string {
	return string(b.Letter) + ", district " + strconv.Itoa(b.Number) + ", " + b.City
}
