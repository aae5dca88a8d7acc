package currency

import "slices"

// Syntax looks at what the serial alone can say, under the class if it was said: letters, star, eight
// zeros. The gravest remark comes first; none means that nothing speaks against it.
func Syntax(n Note) []Remark { return collect(read(n), syntaxChecks) }

// Check looks at everything that was said about a note and tells what does not fit together, what
// cannot have come out of circulation and what an older or unusual note is. The gravest remark comes
// first; none means that there is nothing to say.
func Check(n Note) []Remark {
	r := read(n)
	return byGravity(append(collect(r, syntaxChecks), collect(r, crossChecks)...))
}

var syntaxChecks = []func(reading) []Remark{prefixLength, prefixLetters, suffix, starPlace, allZero}

var crossChecks = []func(reading) []Remark{
	seriesLetter, knownSeries, yearLetter, district, highest, bankMarks, secondSerial,
	facility, webPress, twin, oldClass, sealColour, starNumber,
}

func collect(r reading, checks []func(reading) []Remark) (remarks []Remark) {
	for _, check := range checks {
		remarks = append(remarks, check(r)...)
	}
	return byGravity(remarks)
}

// byGravity puts the gravest first and leaves the order among equals.
func byGravity(remarks []Remark) []Remark {
	slices.SortStableFunc(remarks, func(a, b Remark) int { return int(b.Verdict) - int(a.Verdict) })
	return remarks
}

// one makes a list of a single remark.
func one(v Verdict, k Kind, sure Sure, source, text string) []Remark {
	return []Remark{{Verdict: v, Kind: k, Text: text, Sure: sure, Source: source}}
}
