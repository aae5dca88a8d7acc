package flaws

import (
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"
	"testing"

	"app/unband/triage/currency"
)

// fact is what every row of every table has: texts, a source, a certainty.
type fact struct {
	row    string
	texts  []string
	source string
	sure   currency.Sure
}

// allFacts gathers every row of every table.
func allFacts() []fact {
	var all []fact
	for _, g := range Grades {
		all = append(all, fact{g.Name, []string{g.Name, g.Deciding}, g.Source, g.Sure})
	}
	for _, d := range Defects {
		all = append(all, fact{d.Name, []string{d.Name, d.See, d.Means}, d.Source, d.Sure})
	}
	for _, o := range Outcomes {
		all = append(all, fact{o.Name, []string{o.Name, o.See, o.MistakenFor, o.Next}, o.Source, o.Sure})
	}
	for _, c := range Cautions() {
		for _, p := range c.Points {
			all = append(all, fact{c.Title, []string{c.Title, c.Authority, p.Text}, p.Source, p.Sure})
		}
	}
	return all
}

// The program describes; it does not judge and it names no price.
func TestForbiddenWords(t *testing.T) {
	forbidden := regexp.MustCompile(`(?i)authentic|genuine|\breal\b|value|valuable|worth|\bsell|premium|apprais`)
	check := func(where, text string) {
		if w := forbidden.FindString(text); w != "" {
			t.Errorf("%s says %q: %s", where, w, text)
		}
	}
	for _, f := range allFacts() {
		for _, text := range f.texts {
			check(f.row, text)
		}
	}
	for _, n := range nodes {
		check("a question", n.Text)
		check("a help text", n.Help)
	}
	check("the ready text", Help(HelpFacts{Serial: "B12345678A", Trail: Start().Answer(No).Trail()}))
}

func TestQuestionsAreQuestions(t *testing.T) {
	texts := make(map[string]bool)
	for _, n := range nodes {
		if !strings.HasSuffix(n.Text, "?") || n.Help == "" {
			t.Errorf("question %d: %q, help %q", n.ID, n.Text, n.Help)
		}
		if texts[n.Text] {
			t.Errorf("asked under two numbers: %s", n.Text)
		}
		texts[n.Text] = true
	}
}

// Every row names its source, every code is listed once, every listed code is used, and words and
// certainty agree.
func TestSources(t *testing.T) {
	listed := make(map[string]bool)
	for _, s := range currency.Sources {
		listed[s.Code] = true
	}
	own := make(map[string]bool)
	for _, s := range Sources {
		if listed[s.Code] {
			t.Errorf("[%s] is listed twice", s.Code)
		}
		if s.Title == "" || s.Where == "" {
			t.Errorf("[%s] has no title or no place", s.Code)
		}
		listed[s.Code], own[s.Code] = true, true
	}
	code := regexp.MustCompile(`\[([^\]]+)\]`)
	for _, f := range allFacts() {
		codes := code.FindAllStringSubmatch(f.source, -1)
		for _, c := range codes {
			if !listed[c[1]] {
				t.Errorf("%s: [%s] is not listed", f.row, c[1])
			}
			delete(own, c[1])
		}
		switch {
		case f.sure == 0 || f.source == "":
			t.Errorf("%s: no source or no certainty", f.row)
		case f.sure == currency.Published && len(codes) == 0:
			t.Errorf("%s: published, but by whom? %q", f.row, f.source)
		case f.sure == currency.Memory && !strings.Contains(f.source, "from memory"):
			t.Errorf("%s: from memory, source %q", f.row, f.source)
		}
	}
	// Named in comments alone.
	for _, c := range []string{"PE1"} {
		delete(own, c)
	}
	if unused := slices.Sorted(maps.Keys(own)); len(unused) > 0 {
		t.Errorf("listed but never used: %v", unused)
	}
}

// The grades, their order and their points as the grading body publishes them (Paper Money Guaranty,
// grading/grading.aspx and grading-scale pages).
func TestGrades(t *testing.T) {
	want := []struct {
		number Grade
		name   string
		points string
	}{
		{1, "Poor", "1"}, {2, "Fair", "2"}, {3, "Good", "4-6"}, {4, "Very Good", "8-10"}, {5, "Fine", "12-15"},
		{6, "Very Fine", "20-35"}, {7, "Extremely Fine", "40-45"}, {8, "About Uncirculated", "50-58"},
		{9, "Uncirculated", "60-62"}, {10, "Choice Uncirculated", "63-64"}, {11, "Gem Uncirculated", "65-66"},
		{12, "Superb Gem Uncirculated", "67-69"}, {13, "Seventy", "70"},
	}
	if len(Grades) != len(want) {
		t.Fatalf("%d grades, want %d", len(Grades), len(want))
	}
	last := 0
	shorts := make(map[string]bool)
	for i, w := range want {
		g := Grades[i]
		if g.Grade != w.number || g.Name != w.name || g.Range() != w.points {
			t.Errorf("grade %d: %d %q %s, want %d %q %s", i, g.Grade, g.Name, g.Range(), w.number, w.name, w.points)
		}
		for _, p := range g.Points {
			if p <= last {
				t.Errorf("%s: points %d after %d", g.Name, p, last)
			}
			if OfPoints(p) != g.Grade {
				t.Errorf("OfPoints(%d) = %s, want %s", p, OfPoints(p), g.Grade)
			}
			last = p
		}
		if shorts[g.Short] {
			t.Errorf("%s: short form %q is another's too", g.Name, g.Short)
		}
		shorts[g.Short] = true
	}
	for _, p := range []int{-1, 0, 7, 36, 71} {
		if OfPoints(p) != NoGrade {
			t.Errorf("OfPoints(%d) = %s, want none: no step of the scale", p, OfPoints(p))
		}
	}
}

func TestWorse(t *testing.T) {
	for g := range Grade(16) {
		for h := range Grade(16) {
			known := g >= 1 && g <= 13 && h >= 1 && h <= 13
			// The first thirteen numbers happen to stand in order.
			if want := known && g < h; g.Worse(h) != want {
				t.Errorf("%s worse than %s: %v, want %v", g, h, g.Worse(h), want)
			}
		}
	}
}

// The bits are in people's files.
func TestDefects(t *testing.T) {
	want := []string{"fold", "crease", "tear", "stain", "ink or writing", "pinhole", "trimmed", "off centre", "tape",
		"washed or pressed", "rounded corners", "staple holes", "rubber stamp", "piece missing", "colour changed"}
	if len(Defects) != len(want) {
		t.Fatalf("%d defects, want %d", len(Defects), len(want))
	}
	var all Defect
	for i, f := range Defects {
		if f.Defect != 1<<i || f.Name != want[i] || f.See == "" || f.Means == "" {
			t.Errorf("defect %d: %d %q", i, f.Defect, f.Name)
		}
		all = all.With(f.Defect)
	}
	if all.String() != strings.Join(want, ", ") {
		t.Errorf("all defects: %s", all)
	}
	for _, c := range []struct {
		set  Defect
		want string
	}{
		{0, "none"},
		{Fold | Tear, "fold, tear"},
		{(Fold | Tear | Ink).Without(Fold), "tear, ink or writing"},
		{Fold | 1<<31, "fold, something this version has no word for"},
	} {
		if c.set.String() != c.want {
			t.Errorf("%b is %q, want %q", c.set, c.set, c.want)
		}
	}
	if !(Fold | Tear).Has(Fold) || Fold.Has(Fold|Tear) {
		t.Error("Has is not every defect of the other")
	}
}

// Fold against crease is where Extremely Fine and About Uncirculated part (IBNS Grading Standards).
func TestAgainst(t *testing.T) {
	for _, c := range []struct {
		grade Grade
		set   Defect
		want  string
	}{
		{AboutUncirculated, Fold, ""},
		{AboutUncirculated, Crease, "[crease]"},
		{ExtremelyFine, Crease, ""},
		{Uncirculated, Fold | Stain, "[fold]"},
		{Fine, Fold | Crease | Tear, ""},
		{ExtremelyFine, Tear, "[tear]"},
		{NoGrade, PieceGone, ""},
	} {
		var names []string
		for _, f := range Against(c.grade, c.set) {
			names = append(names, f.Name)
		}
		got := ""
		if names != nil {
			got = fmt.Sprint(names)
		}
		if got != c.want {
			t.Errorf("%s with %s: %s, want %s", c.grade, c.set, got, c.want)
		}
	}
}

func TestStages(t *testing.T) {
	if got := (FirstPrint | SecondPrint).String(); got != "first print (back) or second print (face)" {
		t.Error(got)
	}
	if got := Stage(0).String(); got != "" {
		t.Error(got)
	}
}

func TestCautions(t *testing.T) {
	for _, c := range []struct {
		id   CautionID
		says []string
		from string
	}{
		{Counterfeit, []string{"Never spend it, never hand it back", "local police", "U.S. Secret Service field office", "no refund", "initials", "envelope", "identified officer"}, "Secret Service and Treasury, fox61.com 2017, abc4.com 2020"},
		{Redemption, []string{"31 CFR 100.5", "more than half", "Half or less"}, "31 CFR 100 subpart B"},
		{Defacing, []string{"18 U.S.C. 333", "intent", "six months"}, "18 U.S.C. 333, uscode.house.gov"},
		{CleanHands, []string{"Wash your hands", "lick"}, "PLOS ONE 2017; common practice"},
		{LargeCash, []string{"$10,000", "Splitting", "itself an offence", "Keep your record"}, "31 CFR 1010.311, 31 U.S.C. 5324, from memory"},
	} {
		got, ok := c.id.Caution()
		text := got.Title + "\n" + got.Authority
		for _, p := range got.Points {
			text += "\n" + p.Text
		}
		for _, s := range c.says {
			if !ok || !strings.Contains(text, s) {
				t.Errorf("caution %d does not say %q (%s)", c.id, s, c.from)
			}
		}
	}
	if _, ok := NoCaution.Caution(); ok || len(Cautions()) != 5 {
		t.Errorf("%d cautions, want 5, none under NoCaution", len(Cautions()))
	}
}

func TestForCash(t *testing.T) {
	for dollars, want := range map[int]bool{0: false, 1_000: false, 9_999: false, 10_000: false, 10_001: true, 40_000: true} {
		c, ok := ForCash(dollars)
		if ok != want || ok && c.ID != LargeCash {
			t.Errorf("$%d: caution %v, want %v: above $10,000 only", dollars, ok, want)
		}
	}
}

func TestForDefects(t *testing.T) {
	for _, c := range []struct {
		set  Defect
		want []CautionID
	}{
		{0, nil},
		{Fold | Stain, nil},
		{Tear, []CautionID{Redemption}},
		{PieceGone | Ink, []CautionID{Redemption, Defacing}},
	} {
		var got []CautionID
		for _, found := range ForDefects(c.set) {
			got = append(got, found.ID)
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: cautions %v, want %v", c.set, got, c.want)
		}
	}
}
