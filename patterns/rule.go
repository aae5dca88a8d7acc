package patterns

// An ID names a rule for ever: files store it. It is below 64, so that a Set can hold it.
type ID uint8

// The rules, each with a serial that matches; Rule.Definition says what they mean. A number, once
// given, is never given to another rule: stored watch lists and notes refer to it.
const (
	Solid            ID = 1  // 44444444
	LadderUp         ID = 2  // 12345678
	LadderDown       ID = 3  // 76543210
	Radar            ID = 4  // 70633607
	SuperRadar       ID = 5  // 29999992
	RadarRepeater    ID = 6  // 96699669
	Repeater         ID = 7  // 50715071
	SuperRepeater    ID = 8  // 38383838
	Rotator          ID = 9  // 16800891
	Binary           ID = 10 // 77277722
	TrueBinary       ID = 11 // 01101110
	Trinary          ID = 12 // 40400949
	FourInRow        ID = 13 // 12277773
	FiveInRow        ID = 14 // 12377777
	SixInRow         ID = 15 // 12777777
	SevenInRow       ID = 16 // 66666661
	FiveAlike        ID = 17 // 36363313
	SixAlike         ID = 18 // 66166266
	SevenAlike       ID = 19 // 66616666
	DoubleQuad       ID = 20 // 55558888
	FourPairs        ID = 21 // 11440088
	Bookends2        ID = 22 // 41730841
	Bookends3        ID = 23 // 20593205
	Alternator       ID = 24 // 50607080
	LowNumber        ID = 25 // 00000083
	RoundMillion     ID = 26 // 07000000
	AllDifferent     ID = 27 // 70351948
	TenMillion       ID = 28 // 40000000
	HighNumber       ID = 29 // 95990412
	Flipper          ID = 30 // 68009906
	BrokenLadder     ID = 31 // 57683421
	LadderRadar      ID = 32 // 12344321
	SevenSteps       ID = 33 // 12345679
	SixSteps         ID = 34 // 83456781
	StutteringLadder ID = 35 // 22345678
	SkippingLadder   ID = 36 // 12345689
	PartialLadder    ID = 37 // 00034567
	Date             ID = 38 // 02292024
	OwnNumbers       ID = 39 // all own numbers together

	// FirstTemplate is the rule of the first own template; the next has the next number.
	FirstTemplate ID = 48
	// LastTemplate is the rule of the last own template there can be.
	LastTemplate ID = 63
)

// A Rule is one name of the trade, or of the user's own, as a book defines it.
type Rule struct {
	ID         ID
	Name       string // "radar"; what a finding is called
	Definition string // one sentence, under the settings of the book
	Source     string // where the definition is from, codes as in "[PF][AZ]", or "common practice"
	Sure       string // "P" published, "C" common practice, "own" the user's own
	Example    Digits // an invented serial that matches
	HasNear    bool   // near misses are told; false only when no serial is one
	Total      int    // how many of the 100,000,000 strings match, 00000000 included
	NearTotal  int    // how many of them are near misses
}
