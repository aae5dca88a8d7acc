// Package currency knows the small-size notes of the United States as far as a sorter needs it, and
// says whether what was read from one fits together.
//
// It answers in three ways, never two: fine, look again, not from circulation. What it knows stands
// in tables, each row with its source and how sure it is. A published row may contradict a reading;
// a row from memory only asks for another look. No answer is a judgement of worth or of genuineness.
//
// The package is pure: no clock, no files, nothing global that changes. In every value zero means
// that nobody has said it.
//
// Source codes in brackets, such as [B1], are listed in sources.go.
package currency

// Sure says how well a fact is known.
type Sure uint8

// The degrees of certainty, weakest first.
const (
	Memory    Sure = iota + 1 // a compiler's memory of catalogues: may ask, never contradicts
	Common                    // common practice, no authoritative source found
	Computed                  // arithmetic on published facts
	Published                 // a government body, a society, the press or an expert post
)

// String gives the certainty in words.
func (s Sure) String() string {
	switch s {
	case Memory:
		return "from memory"
	case Common:
		return "common practice"
	case Computed:
		return "computed"
	case Published:
		return "published"
	}
	return "not said"
}

// A Verdict is one of the three answers.
type Verdict uint8

// The three answers, the gravest last.
const (
	Fine               Verdict = iota // nothing speaks against the reading
	LookAgain                         // something does not fit: read the note once more
	NotFromCirculation                // as read, it did not come from a bank's ordinary notes
)

// String gives the verdict in words.
func (v Verdict) String() string {
	switch v {
	case Fine:
		return "fine"
	case LookAgain:
		return "look again"
	case NotFromCirculation:
		return "not from circulation"
	}
	return "no verdict"
}

// A Remark is one thing to say about a note.
type Remark struct {
	Verdict Verdict
	Kind    Kind
	Text    string // what to look at and what it may be; one or two sentences
	Sure    Sure   // how sure the fact behind it is
	Source  string // its source codes, see Sources; "common practice, no source" or "from memory"
}

// Worst gives the gravest verdict of the remarks, Fine when there is none.
func Worst(remarks []Remark) Verdict {
	worst := Fine
	for _, r := range remarks {
		worst = max(worst, r.Verdict)
	}
	return worst
}
