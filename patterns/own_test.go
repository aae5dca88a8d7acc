package patterns

import (
	"encoding/json"
	"errors"
	"math/rand/v2"
	"strings"
	"testing"
)

// fitsPlainly tests a template as its words say it: equal letters, equal digits; different letters,
// different digits; a digit is itself; ? is anything.
func fitsPlainly(pattern, s string) bool {
	for i := range pattern {
		p := pattern[i]
		if p >= '0' && p <= '9' && s[i] != p {
			return false
		}
		for j := range pattern {
			q := pattern[j]
			if p >= 'A' && q >= 'A' && (p == q) != (s[i] == s[j]) {
				return false
			}
		}
	}
	return true
}

func TestTemplateCounts(t *testing.T) {
	for _, c := range []struct {
		pattern string
		want    int
		why     string
	}{
		{"ABBACDDC", 10 * 9 * 8 * 7, "four different digits"},
		{"abbacddc", 10 * 9 * 8 * 7, "small letters are the same"},
		{"??1234??", 10_000, "four open places"},
		{"ABCDDCBA", 5_040, "radars of four digits, facts §12.3"},
		{"ABABABAB", 90, "super repeater"},
		{"AAAAAAAA", 10, "solid"},
		{"ABCDEFGH", 1_814_400, "all different"},
		{"A1A1A1A1", 10, "the letter may be 1, too"},
		{"1???????", 10_000_000, "one digit"},
		{"20??????", 1_000_000, "a two-digit front"},
		{"ABC1ABCD", 10 * 9 * 8 * 7, "a letter that comes once must still differ"},
		{"AB??????", 90_000_000, "two digits that differ"},
		{"12345678", 1, "one serial"},
	} {
		b := bookOf(t, func(s *Settings) { s.Templates = []Template{{Pattern: c.pattern}} })
		r, _ := b.Rule(FirstTemplate)
		if r.Total != c.want {
			t.Errorf("%s fits %d serials, want %d: %s", c.pattern, r.Total, c.want, c.why)
		}
		match, near, err := TemplateOdds(Template{Pattern: c.pattern}, 96_000_000)
		if err != nil || match != b.Count(FirstTemplate, 96_000_000) || near != b.NearCount(FirstTemplate, 96_000_000) {
			t.Errorf("%s: TemplateOdds %d and %d, %v; the book counts otherwise", c.pattern, match, near, err)
		}
		if !fitsPlainly(r.Name, r.Example.String()) {
			t.Errorf("%s: the example %v does not fit", c.pattern, r.Example)
		}
	}
}

// Random templates against their plain meaning, near misses too; and every count against a walk.
func TestRandomTemplates(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 1789))
	rounds := 12
	if *long {
		rounds = 400
	}
	for range rounds {
		pattern := randomTemplate(r)
		b := bookOf(t, func(s *Settings) { *s = Settings{Templates: []Template{{Pattern: pattern}}} })
		rule, _ := b.Rule(FirstTemplate)
		match := func(d Digits) (m Set) {
			if fitsPlainly(pattern, d.String()) {
				m = m.With(FirstTemplate)
			}
			return m
		}
		for range 300 {
			d := Digits(r.IntN(Total))
			if r.IntN(2) == 0 { // some that are close to it
				d = rule.Example.apply(Change{Pos: r.IntN(8), To: byte(r.IntN(10))})
			}
			got, gotNear := b.Sets(d)
			if want := match(d); got&ownRules != want {
				t.Errorf("%s on %v: match %v, want %v", pattern, d, got&ownRules != 0, want != 0)
			}
			if want := naiveNear(match, d); gotNear&ownRules != want {
				t.Errorf("%s on %v: near %v, want %v", pattern, d, gotNear&ownRules != 0, want != 0)
			}
		}
		if rule.Total > 200_000 {
			continue
		}
		n := 0
		each(b, FirstTemplate, func(Digits) { n++ })
		if n != rule.Total {
			t.Errorf("%s: walked %d, Total %d", pattern, n, rule.Total)
		}
	}
}

// randomTemplate makes a template that some serial does not fit.
func randomTemplate(r *rand.Rand) string {
	for {
		pattern := ""
		for range Places {
			pattern += string("?12AABBCDE"[r.IntN(10)])
		}
		if strings.ContainsAny(pattern, "12") || len(strings.Trim(pattern, "?A")) > 0 {
			return pattern
		}
	}
}

// A bad template is refused with the character that is wrong, counted from 0.
func TestTemplateErrorsPoint(t *testing.T) {
	for _, c := range []struct {
		pattern string
		pos     int
		word    string
	}{
		{"ABBA", 4, "has 4"},
		{"", 0, "has 0"},
		{"ABBACDDCA", 8, "more"},
		{"AB-ACDDC", 2, "'-'"},
		{"ABBACDD ", 7, "' '"},
		{"ABBÄCDDC", 3, "'Ä'"},
		{"AB*", 2, "'*'"},
		{"????????", 0, "every serial"},
		{"???A????", 0, "every serial"},
	} {
		s := DefaultSettings()
		s.Templates = []Template{{Pattern: "ABBACDDC"}, {Pattern: c.pattern}}
		_, err := NewBook(s)
		var bad *PatternError
		if !errors.As(err, &bad) {
			t.Errorf("%q: error %v, want a PatternError", c.pattern, err)
			continue
		}
		if bad.Pos != c.pos || !strings.Contains(err.Error(), c.word) || bad.Text != c.pattern {
			t.Errorf("%q: error %q at %d, want %q at %d", c.pattern, err, bad.Pos, c.word, c.pos)
		}
	}
}

func TestOwnNumbers(t *testing.T) {
	list := []OwnNumber{
		{Number: "1607", Remark: "house number"},
		{Number: "88", Place: End},
		{Number: "90", Place: Front, Remark: "year"},
		{Number: "19770707"},
	}
	b := bookOf(t, func(s *Settings) { s.Numbers = list })
	plain := func(s string) bool {
		return strings.Contains(s, "1607") || strings.HasSuffix(s, "88") || strings.HasPrefix(s, "90") || s == "19770707"
	}
	match := func(d Digits) (m Set) {
		if plain(d.String()) {
			m = m.With(OwnNumbers)
		}
		return m
	}
	r := rand.New(rand.NewPCG(16, 7))
	for range 2000 {
		d := Digits(r.IntN(Total))
		got, near := b.Sets(d)
		if want := match(d); got&(1<<OwnNumbers) != want {
			t.Errorf("%v: match %v, want %v", d, !plain(d.String()), plain(d.String()))
		}
		if want := naiveNear(match, d); near&(1<<OwnNumbers) != want {
			t.Errorf("%v: near %v, want %v", d, want == 0, want != 0)
		}
	}
	for digits, want := range map[string]string{
		"34160712": "1607 (house number)",
		"90160788": "1607 (house number), 88, 90 (year)",
		"19770707": "19770707",
		"88341209": "",
	} {
		got := ""
		for _, f := range b.Judge(mustDigits(digits)).Findings {
			if f.Rule == OwnNumbers {
				got = f.Detail
			}
		}
		if got != want {
			t.Errorf("%s tells %q, want %q", digits, got, want)
		}
	}
	only := bookOf(t, func(s *Settings) { s.Numbers = []OwnNumber{{Number: "1607"}} })
	if r, _ := only.Rule(OwnNumbers); r.Total != 5*10_000-1 {
		t.Errorf("1607 anywhere: %d, want 49,999: five places, 16071607 has it twice", r.Total)
	}
}

// A setting that cannot be used is named.
func TestSettingErrors(t *testing.T) {
	for _, c := range []struct {
		change func(*Settings)
		want   string
	}{
		{func(s *Settings) { s.LadderZero = "maybe" }, "ladder_zero"},
		{func(s *Settings) { s.Binary = "three" }, "binary"},
		{func(s *Settings) { s.LowLimit = 100_000_000 }, "low_limit"},
		{func(s *Settings) { s.HighFrom, s.HighTo = 5, 4 }, "high_from"},
		{func(s *Settings) { s.HighTo = 100_000_000 }, "high_to"},
		{func(s *Settings) { s.FromYear = 0 }, "from_year"},
		{func(s *Settings) { s.ToYear = 10_000 }, "from_year"},
		{func(s *Settings) { s.FromYear, s.ToYear = 2000, 1999 }, "from_year"},
		{func(s *Settings) { s.Templates = make([]Template, MaxTemplates+1) }, "17"},
		{func(s *Settings) { s.Numbers = make([]OwnNumber, MaxNumbers+1) }, "101"},
		{func(s *Settings) { s.Numbers = []OwnNumber{{Number: ""}} }, "none"},
		{func(s *Settings) { s.Numbers = []OwnNumber{{Number: "12x"}} }, "character 3"},
		{func(s *Settings) { s.Numbers = []OwnNumber{{Number: "123456789"}} }, "character 9"},
		{func(s *Settings) { s.Numbers = []OwnNumber{{Number: "12", Place: "middle"}} }, "middle"},
	} {
		s := DefaultSettings()
		c.change(&s)
		if _, err := NewBook(s); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("error %v, want one with %q", err, c.want)
		}
	}
}

// Settings are stored with a session: what comes back is what went in, and sixteen templates fit.
func TestSettingsAreStored(t *testing.T) {
	s := DefaultSettings()
	s.Numbers = []OwnNumber{{Number: "1607", Place: Front, Remark: "house number"}}
	for len(s.Templates) < MaxTemplates {
		s.Templates = append(s.Templates, Template{Pattern: "ABBACDDC", Remark: "again"})
	}
	text, err := json.Marshal(s)
	if err != nil {
		t.Fatal(err)
	}
	var back Settings
	if err := json.Unmarshal(text, &back); err != nil {
		t.Fatal(err)
	}
	b, err := NewBook(back)
	if err != nil {
		t.Fatal(err)
	}
	again, _ := json.Marshal(b.Settings())
	if string(again) != string(text) {
		t.Errorf("stored %s, came back %s", text, again)
	}
	j := b.Judge(12213443)
	if j.Findings[len(j.Findings)-1].Rule != LastTemplate || j.Findings[0].Detail == "" {
		t.Errorf("findings %+v, want sixteen templates with their remarks", j.Findings)
	}
}
