package patterns

// An ID names a rule for ever: files store it. It is below 64, so that a Set can hold it.
type ID uint8

// The rules. A number, once given, is never given to another rule: stored watch lists and notes
// refer to it.
const (
	Solid            ID = 1
	LadderUp         ID = 2
	LadderDown       ID = 3
	Radar            ID = 4
	SuperRadar       ID = 5
	RadarRepeater    ID = 6
	Repeater         ID = 7
	SuperRepeater    ID = 8
	Rotator          ID = 9
	Binary           ID = 10
	TrueBinary       ID = 11
	Trinary          ID = 12
	FourInRow        ID = 13
	FiveInRow        ID = 14
	SixInRow         ID = 15
	SevenInRow       ID = 16
	FiveAlike        ID = 17
	SixAlike         ID = 18
	SevenAlike       ID = 19
	DoubleQuad       ID = 20
	FourPairs        ID = 21
	Bookends2        ID = 22
	Bookends3        ID = 23
	Alternator       ID = 24
	LowNumber        ID = 25
	RoundMillion     ID = 26
	AllDifferent     ID = 27
	TenMillion       ID = 28
	HighNumber       ID = 29
	Flipper          ID = 30
	BrokenLadder     ID = 31
	LadderRadar      ID = 32
	SevenSteps       ID = 33
	SixSteps         ID = 34
	StutteringLadder ID = 35
	SkippingLadder   ID = 36
	PartialLadder    ID = 37
	Date             ID = 38
	OwnNumbers       ID = 39

	// FirstTemplate is the rule of the first own template; the next has the next number.
	FirstTemplate ID = 48
	// LastTemplate is the rule of the last own template there can be.
	LastTemplate ID = 63
)

// A Rule is one name of the trade, or of the user's own, as a book defines it.
type Rule struct {
	ID         ID
	Name       string // "Radar"; what a finding is called
	Definition string // one sentence, under the settings of the book
	Source     string // where the definition is from, codes as in "[PF][AZ]", or "common practice"
	Sure       string // "P" published, "C" common practice, "own" the user's own
	Example    Digits // an invented serial that matches
	HasNear    bool   // near misses are told; false only when no serial is one
	Total      int    // how many of the 100,000,000 strings match, 00000000 included
	NearTotal  int    // how many of them are near misses
}
