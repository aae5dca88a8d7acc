// Unband is a full-screen program for someone who sorts straps of paper money note by note.
//
//	unband                       the screen, where it was left; with --demo an invented float to look at
//	unband read [SERIAL|FILE|-]  judges serials
//	unband odds [PATTERN]        how rare the patterns are, what it costs to watch for them, what misreading loses
//	unband report                what is in the file: text, Markdown, CSV or JSON
//	unband runs import FILE      takes in a list of star runs; unband runs list prints them
//	unband check                 compares the totals in the file with its notes
//	unband backup [FILE]         copies the file, also while another window has it open
//	unband rescue FILE [NEW]     saves what can be read of a damaged file into a new one
//	unband help [TOPIC]          what the help pages of the screens tell
//
// The exit status is 0 when all went well, 1 when something could not be done, 2 on wrong usage.
package main

import (
	"bufio"
	"bytes"
	"cmp"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"runtime/debug"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/term"

	"app/unband/patterns"
	"app/unband/store"
	"app/unband/triage"
	"app/unband/triage/odds"
	"app/unband/triage/reading"
	"app/unband/triage/report"
	"app/unband/triage/stars"
	"app/unband/ui"
	"app/unband/ui/demo"
	"app/unband/ui/release"
	"app/unband/ui/terminal"
)

// version is set where a release is built (.ci/archives), and empty elsewhere: see package release.
var version string

// The exit statuses.
const (
	fine       = 0
	couldNot   = 1
	wrongUsage = 2
)

func main() { os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)) }

// A harmless writer lets nothing through that could move a cursor or change a colour: what it is given
// may name a file or an argument from outside.
type harmless struct{ io.Writer }

func (h harmless) Write(p []byte) (int, error) {
	clean := bytes.Map(func(r rune) rune {
		if r != '\n' && r != '\t' && unicode.IsControl(r) {
			return '\ufffd'
		}
		return r
	}, p)
	_, err := h.Writer.Write(clean)
	return len(p), err
}

// A command does one thing. It gets its flags and arguments and gives the exit status.
type command struct {
	name, arguments, does string
	flags                 func(*flag.FlagSet, *options)
	run                   func(*options, files) int
}

// files are the three that a command is given.
type files struct {
	in   *os.File
	out  io.Writer
	errs harmless
	term *os.File // standard error, if it is a terminal
}

// options are the flags of all commands; each command uses its own.
type options struct {
	args         []string
	file         string
	keys         string
	pauses       triage.Pauses
	version      bool
	demo         bool
	as           string
	top          int
	stops, count bool
	column       int
	zeros        bool
	settled      bool
	misreads     bool // misread was given
	misread      odds.Misreading
	given        []string // the flags that were given
	listed       time.Time
	session      uint64
	to           string
	replace      bool
}

var commands = []command{
	{"", "", "open the screen, where it was left", screenFlags, screen},
	{"read", "[SERIAL|FILE|-]...", "judge serials from arguments, lists or standard input", readFlags, read},
	{"odds", "[PATTERN]...", "how rare each pattern is, what the watch list costs, what misreading loses", oddsFlags, printOdds},
	{"report", "", "what is in the file, of one session or all, for people or other programs", reportFlags, writeReport},
	{"runs", "import FILE | list", "runs of star notes, as the published lists have them", runsFlags, starRuns},
	{"check", "", "compare the totals in the file with its notes", fileFlag, check},
	{"backup", "[FILE]", "copy the file, also while another window has it open, and see that the copy is sound", fileFlag, backup},
	{"rescue", "FILE [NEW]", "save what can be read of a damaged file into a new one", func(*flag.FlagSet, *options) {}, rescue},
	{"help", "[TOPIC|COMMAND]", "what the help pages of the screens tell", helpFlags, help},
}

func run(args []string, in *os.File, out, errs io.Writer) int {
	name := ""
	if len(args) > 0 && !strings.HasPrefix(args[0], "-") {
		name, args = args[0], args[1:]
	}
	if name == "help" && len(args) == 1 && isCommand(args[0]) {
		name, args = args[0], []string{"--help"}
	}
	for _, c := range commands {
		if c.name == name {
			return c.do(args, files{in, out, harmless{errs}, terminalOf(errs)})
		}
	}
	fmt.Fprintf(errs, "unband: there is no command %q. unband --help lists them.\n", triage.Printable(name))
	return wrongUsage
}

// isCommand reports whether there is a command with a name.
func isCommand(name string) bool {
	return name != "" && slices.ContainsFunc(commands, func(c command) bool { return c.name == name })
}

// terminalOf gives the terminal that is written to, nil for anything else.
func terminalOf(w io.Writer) *os.File {
	if f, ok := w.(*os.File); ok && term.IsTerminal(f.Fd()) {
		return f
	}
	return nil
}

// do parses the flags of a command, which may stand between its arguments, and runs it.
func (c command) do(args []string, f files) int {
	var o options
	set := flag.NewFlagSet("unband "+c.name, flag.ContinueOnError)
	set.SetOutput(f.errs)
	set.Usage = func() { c.usage(set, f.errs) }
	c.flags(set, &o)
	for {
		err := set.Parse(args)
		switch {
		case errors.Is(err, flag.ErrHelp):
			return fine
		case err != nil:
			return wrongUsage
		}
		if args = set.Args(); len(args) == 0 {
			break
		}
		o.args, args = append(o.args, args[0]), args[1:]
	}
	if c.arguments == "" && len(o.args) > 0 {
		for _, other := range commands {
			if other.name == o.args[0] {
				fmt.Fprintf(f.errs, "unband: the command stands first: unband %s, then its flags.\n", other.name)
				return wrongUsage
			}
		}
		fmt.Fprintf(f.errs, "unband: %q is not understood. unband --help lists what is.\n", triage.Printable(o.args[0]))
		return wrongUsage
	}
	set.Visit(func(f *flag.Flag) { o.given = append(o.given, f.Name) })
	return c.run(&o, f)
}

func (c command) usage(set *flag.FlagSet, out io.Writer) {
	if c.name == "" {
		fmt.Fprint(out, "unband sorts straps of paper money note by note: keep or spend.\n\n")
		for _, c := range commands {
			fmt.Fprintf(out, "  unband %-26s %s\n", c.name+" "+c.arguments, c.does)
		}
		fmt.Fprint(out, "\nWhat the help pages of the screens tell:\n\n"+ui.TopicList())
		fmt.Fprint(out, "\nunband COMMAND --help tells the flags of a command. Those of the screen:\n\n")
	} else {
		fmt.Fprintf(out, "unband %s %s\n%s\n\n", c.name, c.arguments, c.does)
	}
	set.PrintDefaults()
}

func fileFlag(set *flag.FlagSet, o *options) {
	set.StringVar(&o.file, "file", "", "keep everything in `FILE` (default: unband.db in your data folder)")
}

func helpFlags(set *flag.FlagSet, o *options) {
	fileFlag(set, o)
	set.StringVar(&o.keys, "keys", "", "the keys of `FILE`, or left, for the left hand, or standard (default: the file keys in your folder of settings)")
}

func screenFlags(set *flag.FlagSet, o *options) {
	helpFlags(set, o)
	set.Func("pause", "`seconds` before an ordinary note can be decided, 0.2 to 10 (default: as chosen in the program)", pauseFlag(&o.pauses.Plain))
	set.Func("pause-stop", "`seconds` before a hit, a near miss, a doubtful or an unread note can be decided", pauseFlag(&o.pauses.Stop))
	set.BoolVar(&o.demo, "demo", false, "look at an invented float of some months, in a file that is thrown away at the end")
	set.BoolVar(&o.version, "version", false, "print the version and end")
}

func listFlags(set *flag.FlagSet, o *options) {
	set.StringVar(&o.as, "as", "text", "`format`: text, csv or json")
	set.IntVar(&o.top, "top", int(triage.Denomination(1).Top()), "count odds up to this highest `serial`")
}

func readFlags(set *flag.FlagSet, o *options) {
	listFlags(set, o)
	set.BoolVar(&o.stops, "stops", false, "only serials that would stop a sorter")
	set.BoolVar(&o.count, "count", false, "only how many there are")
	set.IntVar(&o.column, "column", 0, "the serials stand in column `N`, from 1 (default: it is found, and told)")
	set.BoolVar(&o.zeros, "zeros", false, "leading zeros were lost in a spreadsheet: fill one to seven digits up to eight")
}

func oddsFlags(set *flag.FlagSet, o *options) {
	listFlags(set, o)
	set.BoolVar(&o.settled, "settled", false, "tell also after how many digits notes are settled")
	o.misread = odds.Misreading{Swap: 0.002, Seed: 1, Notes: 50_000}
	set.Func("misread", "tell instead how many keepers are lost if every digit is misread with this `chance`, 0 to 0.2 (as 0.005)", func(text string) error {
		o.misreads = true
		return chance(&o.misread.Digit)(text)
	})
	set.Func("swap", "with --misread: the `chance` that two neighbouring digits are swapped, 0 to 0.2 (default 0.002)", chance(&o.misread.Swap))
	set.Uint64Var(&o.misread.Seed, "seed", o.misread.Seed, "with --misread: the `number` the draws begin with")
	set.IntVar(&o.misread.Notes, "notes", o.misread.Notes, "with --misread: how many `readings` of a kind are drawn for each line, 1,000 to 10,000,000")
}

// chance reads how likely a misreading is.
func chance(to *float64) func(string) error {
	return func(text string) error {
		x, err := strconv.ParseFloat(text, 64)
		if err != nil || !(x >= 0 && x <= odds.MaxMisread) {
			return errors.New("outside 0 to 0.2")
		}
		*to = x
		return nil
	}
}

func reportFlags(set *flag.FlagSet, o *options) {
	fileFlag(set, o)
	set.StringVar(&o.as, "as", "text", "`format`: text, markdown, csv or json")
	set.Uint64Var(&o.session, "session", 0, "only the session with this `number` (default: all)")
	set.StringVar(&o.to, "to", "", "write to `FILE` instead of standard output")
	set.BoolVar(&o.replace, "replace", false, "with --to: replace a file that is there")
}

func runsFlags(set *flag.FlagSet, o *options) {
	fileFlag(set, o)
	set.Func("date", "the `day` the list is of, as 2026-11-25", func(text string) (err error) {
		if o.listed, err = time.Parse(time.DateOnly, text); err != nil {
			return errors.New("not a day as 2026-11-25")
		}
		return nil
	})
}

// path is the file of the options.
func (o *options) path() (string, error) {
	if o.file != "" {
		return o.file, nil
	}
	return store.DefaultPath()
}

// open opens the file of the options, and makes it if it is not there.
func open(o *options) (*store.Store, error) {
	path, err := o.path()
	if err != nil {
		return nil, err
	}
	return store.Open(path)
}

// complain says on standard error what went wrong, what is safe and what to do.
func complain(errs io.Writer, err error) int {
	what, safe, next := store.Explain(err)
	fmt.Fprintln(errs, "unband:", what)
	for _, line := range []string{safe, next} {
		if line != "" {
			fmt.Fprintln(errs, "       ", line)
		}
	}
	return couldNot
}

// screen runs the full-screen program.
func screen(o *options, f files) int {
	if o.version {
		info, _ := debug.ReadBuildInfo() // nil where there is none
		fmt.Fprintln(f.out, strings.TrimSpace("unband "+release.Version(version, info)+" "+release.Build(info)))
		return fine
	}
	if o.demo && slices.Contains(o.given, "file") {
		fmt.Fprintln(f.errs, "unband: --demo has a file of its own, which is thrown away at the end: leave out --file to look at the demo, or --demo for your own notes.")
		return wrongUsage
	}
	if status := useKeys(o, f); status != fine {
		return status
	}
	if err := terminal.Check(os.Stdin, os.Stdout, os.Getenv("TERM")); err != nil {
		fmt.Fprintln(f.errs, "unband:", err)
		return wrongUsage
	}
	if o.demo {
		return demonstrate(o, f)
	}
	s, err := open(o)
	if err != nil {
		path, _ := o.path()
		return complainOf(f.errs, path, err)
	}
	return show(s, o, f)
}

// demonstrate runs the full-screen program on an invented file, in a folder that is removed at the end.
func demonstrate(o *options, f files) int {
	folder, err := os.MkdirTemp("", "unband-demo-")
	if err != nil {
		fmt.Fprintf(f.errs, "unband: there is no room for the demo's file: %v\n        Your own notes are not touched. The folder for such files can be named in %s.\n", err, temporaryFolder())
		return couldNot
	}
	defer func() {
		if err := os.RemoveAll(folder); err != nil {
			fmt.Fprintf(f.errs, "unband: the demo's folder could not be removed: %v\n        It can be removed by hand: nothing but the demo is in it.\n", err)
		}
	}()
	s, err := store.OpenThrowAway(filepath.Join(folder, "demo.db"))
	if err != nil {
		return complain(f.errs, err)
	}
	if err := demo.Fill(s, time.Now(), demo.Seed); err != nil {
		s.Close()
		return complain(f.errs, err)
	}
	return show(s, o, f)
}

// temporaryFolder is what names the folder for files that are thrown away.
func temporaryFolder() string {
	if runtime.GOOS == "windows" {
		return "TMP"
	}
	return "TMPDIR"
}

// show runs the full-screen program on an open file, and closes it.
func show(s *store.Store, o *options, f files) int {
	var send func(tea.Msg)
	var toClipboard func(string)
	var ring func()
	app := ui.New(ui.Options{
		Store:  s,
		Now:    time.Now,
		Pauses: o.pauses,
		Guided: true,
		Demo:   o.demo,
		Post:   func(m tea.Msg) { send(m) },
		Copy:   func(text string) { toClipboard(text) },
		Bell:   func() { ring() },
	})
	_, err := terminal.Run(app, terminal.WithSender(func(post func(tea.Msg)) { send = post }),
		terminal.WithClipboard(func(f func(string)) { toClipboard = f }),
		terminal.WithBell(func(f func()) { ring = f }))
	app.Leave()
	// Closing writes what is still queued: a decision key that was heard is not lost by leaving.
	if closeErr := s.Close(); closeErr != nil {
		return complain(f.errs, closeErr)
	}
	if err != nil {
		fmt.Fprintln(f.errs, "unband:", err)
		if !o.demo {
			fmt.Fprintln(f.errs, "        Every decision that was shown is in", s.Path())
		}
		return couldNot
	}
	if err := app.Unsaid(); err != nil {
		return complain(f.errs, err)
	}
	fmt.Fprintln(f.out, app.Farewell(s.Path()))
	return fine
}

// useKeys puts the keys of the options in force.
func useKeys(o *options, f files) int {
	keys, err := ui.KeysNamed(o.keys)
	if err != nil {
		fmt.Fprintf(f.errs, "unband: %v\n        Nothing was started. --keys standard starts with the keys as they come.\n", err)
		return wrongUsage
	}
	keys.Use()
	return fine
}

// help tells what the help pages of the screens tell, or what there is to tell.
func help(o *options, f files) int {
	if len(o.args) > 1 {
		fmt.Fprintln(f.errs, "unband: one topic at a time: unband help lists them.")
		return wrongUsage
	}
	if len(o.args) == 0 {
		fmt.Fprint(f.out, ui.TopicList()+"\nunband --help lists the commands.\n")
		return fine
	}
	if !ui.HasTopic(o.args[0]) {
		fmt.Fprintf(f.errs, "unband: there is nothing to tell about %q. unband help lists the topics, unband --help the commands.\n", triage.Printable(o.args[0]))
		return wrongUsage
	}
	if status := useKeys(o, f); status != fine {
		return status
	}
	if err := ui.WriteTopic(f.out, o.args[0], settingsOf(o, f)); err != nil {
		return complain(f.errs, err)
	}
	return fine
}

// settingsOf are the definitions chosen in the file of the options, which is opened only for what needs them. It is nil
// where there is no file, nothing is chosen in it, or it cannot be read now, which is said.
func settingsOf(o *options, f files) *patterns.Settings {
	path, err := o.path()
	if err != nil || o.args[0] != "patterns" {
		return nil
	}
	if _, err := os.Stat(path); err != nil {
		return nil
	}
	s, err := store.Open(path)
	if err == nil {
		defer s.Close()
		c, chosen, wrong := s.Choices()
		if chosen && wrong == nil {
			return &c.Settings
		}
		err = wrong
	}
	if err != nil {
		complain(f.errs, err)
		fmt.Fprintln(f.errs, "        So these are the definitions of a new user.")
	}
	return nil
}

// pauseFlag reads a number of seconds that a pause may last.
func pauseFlag(to *time.Duration) func(string) error {
	return func(text string) error {
		s, err := strconv.ParseFloat(text, 64)
		if err != nil || !(s >= triage.MinPause.Seconds() && s <= triage.MaxPause.Seconds()) {
			return errors.New("outside 0.2 to 10 seconds")
		}
		*to = time.Duration(s * float64(time.Second))
		return nil
	}
}

// check compares totals and indexes of the file with its notes.
func check(o *options, f files) int {
	s, _, status := openExisting(o, f, "check") // one that was made for it would be found sound
	if s == nil {
		return status
	}
	defer s.Close()
	report, err := s.Check()
	if err != nil {
		return complain(f.errs, err)
	}
	fmt.Fprintf(f.out, "%s\nsessions %d, straps %d, notes %d, earlier versions of notes %d\n",
		report.Path, report.Sessions, report.Straps, report.Notes, report.Versions)
	if report.Sound() {
		fmt.Fprintln(f.out, "sound: every total and index agrees with the notes")
		return fine
	}
	for _, p := range report.Problems {
		fmt.Fprintln(f.out, "wrong:", p)
	}
	return couldNot
}

// writeReport reports what is in the file.
func writeReport(o *options, f files) int {
	form := report.Form(o.as)
	if !slices.Contains(report.Forms, form) {
		fmt.Fprintf(f.errs, "unband: there is no format %q: text, markdown, csv or json.\n", o.as)
		return wrongUsage
	}
	if o.replace && o.to == "" {
		fmt.Fprintln(f.errs, "unband: --replace goes with --to FILE.")
		return wrongUsage
	}
	if o.session == 0 && slices.Contains(o.given, "session") {
		fmt.Fprintln(f.errs, "unband: sessions are numbered from 1. Without --session all of them are told.")
		return wrongUsage
	}
	s, path, status := openExisting(o, f, "report")
	if s == nil {
		return status
	}
	defer s.Close()
	sessions, err := s.Sessions()
	if err != nil {
		return complain(f.errs, err)
	}
	slices.SortFunc(sessions, func(a, b triage.Session) int { return cmp.Compare(a.ID, b.ID) })
	if o.session != 0 {
		sessions = slices.DeleteFunc(sessions, func(s triage.Session) bool { return s.ID != o.session })
		if len(sessions) == 0 {
			fmt.Fprintf(f.errs, "unband: there is no session %d in %s. unband report without --session tells all, each with its number.\n", o.session, path)
			return couldNot
		}
	}
	info, _ := debug.ReadBuildInfo()
	made := report.Made{At: time.Now(), From: path, By: "unband " + release.Version(version, info)}
	write := func(w io.Writer) error {
		return report.Write(w, form, made, report.Source{Sessions: sessions, Straps: s.Straps, Notes: s.Notes})
	}
	if o.to == "" {
		err = write(f.out)
	} else {
		err = ui.WriteNew(o.to, o.replace, write)
	}
	if err == nil {
		return fine
	}
	if what, next, ok := explainTo(o.to, err); ok {
		fmt.Fprintf(f.errs, "unband: %s\n        %s\n", what, next)
		return couldNot
	}
	return complain(f.errs, err)
}

// explainTo says why nothing is written under a name and what to do; ok is false where that is not the reason.
func explainTo(to string, err error) (what, next string, ok bool) {
	name := triage.Printable(to)
	switch {
	case to == "":
		return "", "", false
	case errors.Is(err, os.ErrExist):
		return name + " is there already, and was not touched.", "--replace replaces it.", true
	case errors.Is(err, ui.ErrHoldsNotes):
		return name + " holds notes of unband, and was not touched.", "Name another file with --to: a report never takes the place of notes.", true
	case errors.Is(err, ui.ErrNotOrdinary):
		return name + " is a link, a folder or a device, and was not touched.", "Name another file with --to.", true
	case errors.Is(err, os.ErrNotExist):
		return "The folder of " + name + " is not there. Nothing was written.", "Make the folder, or name another file with --to.", true
	case errors.Is(err, os.ErrPermission):
		return "You are not allowed to write " + name + ". Nothing was written.", "Name a file in another folder with --to.", true
	}
	return "", "", false
}

// openExisting opens the file of the options for a command that has nothing to do without one. s is nil where
// it could not; the status is then the command's.
func openExisting(o *options, f files, what string) (s *store.Store, path string, status int) {
	path, err := o.path()
	if err == nil {
		_, err = os.Stat(path) // opening would make it
	}
	if errors.Is(err, os.ErrNotExist) {
		fmt.Fprintf(f.errs, "unband: there is nothing to %s: no file %s.\n", what, path)
		return nil, path, couldNot
	}
	if err == nil {
		s, err = store.Open(path)
	}
	if err != nil {
		return nil, path, complainOf(f.errs, path, err)
	}
	return s, path, fine
}

// complainOf says what is wrong with a file, and of a damaged one what there is to go on from.
func complainOf(errs io.Writer, path string, err error) int {
	complain(errs, err)
	if !store.Damaged(err) {
		return couldNot
	}
	if b, found, ok := store.NewestSound(path); ok {
		fmt.Fprintf(errs, "        The newest sound backup is %s, of %s: %s in %s. What was decided after that is not in it.\n", b.Path, b.Made.Format("2 January 2006 15:04 MST"),
			triage.Plural(found.Notes, "note", "notes"), triage.Plural(found.Sessions, "session", "sessions"))
	} else {
		fmt.Fprintln(errs, "        There is no sound backup beside it.")
	}
	fmt.Fprintf(errs, "        What can be read of the damaged file goes into a new one by: unband rescue %s\n", path)
	return couldNot
}

// backup copies the file of the options.
func backup(o *options, f files) int {
	path, err := o.path()
	if len(o.args) > 1 {
		fmt.Fprintln(f.errs, "unband: name one file to copy to, or none for the folder of backups.")
		return wrongUsage
	}
	to := ""
	if len(o.args) == 1 {
		to = o.args[0]
	}
	var made store.Backup
	if err == nil {
		if _, look := os.Stat(path); errors.Is(look, os.ErrNotExist) {
			fmt.Fprintf(f.errs, "unband: there is nothing to back up: no file %s.\n", path)
			return couldNot
		}
		made, err = store.CopyFile(path, to, time.Now())
	}
	switch {
	case err == nil:
		fmt.Fprintf(f.out, "%s\n%s bytes, looked through and sound\n", made.Path, triage.Thousands(int(made.Bytes)))
		return fine
	case errors.Is(err, os.ErrExist):
		fmt.Fprintf(f.errs, "unband: %s is there already, and was not touched.\n        Name another file.\n", to)
		return couldNot
	}
	return complainOf(f.errs, path, err)
}

// rescue saves what can be read of a damaged file.
func rescue(o *options, f files) int {
	if len(o.args) < 1 || len(o.args) > 2 {
		fmt.Fprintln(f.errs, "unband: rescue FILE [NEW]: name the damaged file.")
		return wrongUsage
	}
	from := o.args[0]
	to := strings.TrimSuffix(from, filepath.Ext(from)) + "-rescued.db"
	if len(o.args) == 2 {
		to = o.args[1]
	}
	saved, err := store.Rescue(from, to)
	if errors.Is(err, os.ErrExist) {
		fmt.Fprintf(f.errs, "unband: %s is there already, and was not touched.\n        Name another file: unband rescue %s NEW\n", to, from)
		return couldNot
	}
	if err != nil {
		return complain(f.errs, err)
	}
	out := harmless{f.out}
	fmt.Fprintf(out, "%s\nsaved: %s, %s, %s, %s; every total and index agrees with the notes\n", to, triage.Plural(saved.Sessions, "session", "sessions"),
		triage.Plural(saved.Straps, "strap", "straps"), triage.Plural(saved.Notes, "note", "notes"), triage.Plural(saved.Versions, "earlier version of notes", "earlier versions of notes"))
	for _, m := range saved.Missing {
		fmt.Fprintln(out, "missing:", m)
	}
	fmt.Fprintf(out, "The damaged file was not touched. To go on: unband --file %s\n", to)
	return fine
}

// read judges serials: arguments that are serials, files, and standard input for - or nothing.
func read(o *options, f files) int {
	if o.column < 0 || o.column == 0 && slices.Contains(o.given, "column") {
		fmt.Fprintln(f.errs, "unband: columns are numbered from 1.")
		return wrongUsage
	}
	lists, closeAll, err := sources(o.args, f.in)
	defer closeAll()
	if err != nil {
		fmt.Fprintln(f.errs, "unband:", err)
		if errors.Is(err, errNothingToRead) {
			return wrongUsage
		}
		return couldNot
	}
	book, err := patterns.NewBook(patterns.DefaultSettings())
	if err != nil {
		return complain(f.errs, err)
	}
	list, out, errs := reading.Join(lists...), bufio.NewWriter(f.out), bufio.NewWriter(f.errs)
	tell, done := progress(f.term)
	options := reading.Options{
		Book: book, Watch: book.DefaultWatch(), Top: patterns.Digits(max(o.top, 0)), As: reading.Format(o.as), Stops: o.stops, Count: o.count,
		Layouts: reading.Layouts{Column: o.column, Zeros: o.zeros},
		Bad: func(b reading.BadLine) {
			name, number := list.At(b.Number)
			done()
			fmt.Fprintf(errs, "unband: %s, line %d: %v\n", name, number, b.Err)
		},
		Found: func(column string, line int) {
			name, _ := list.At(line)
			done()
			fmt.Fprintf(errs, "unband: %s: the serials are in %s. --column N takes another.\n", name, column)
		},
		Progress: tell,
	}
	sum, err := reading.Read(list, out, options)
	done()
	if err == nil {
		err = out.Flush()
	}
	errs.Flush()
	var usage *reading.UsageError
	switch {
	case errors.As(err, &usage):
		fmt.Fprintln(f.errs, "unband:", err)
		return wrongUsage
	case err != nil:
		fmt.Fprintln(f.errs, "unband:", err)
		return couldNot
	}
	return readOf(sum, list.Empty(), f)
}

// readOf says what was not read, and gives the status. That there was nothing to read is no success: the list that
// was meant is another one, or was not written.
func readOf(sum reading.Sum, empty []string, f files) int {
	if sum.Blank > 0 {
		fmt.Fprintf(f.errs, "unband: %s passed over.\n", triage.Plural(sum.Blank, "blank line was", "blank lines were"))
	}
	for _, name := range empty {
		fmt.Fprintf(f.errs, "unband: there was nothing to read in %s: it is empty.\n", name)
	}
	switch {
	case sum.Bad > 0:
		fmt.Fprintf(f.errs, "unband: %s of %s lines hold no serial.\n", triage.Thousands(sum.Bad), triage.Thousands(sum.Lines))
	case sum.Serials == 0 && len(empty) == 0:
		fmt.Fprintln(f.errs, "unband: there was no serial to read: no line can be a note.")
	case len(empty) == 0:
		return fine
	}
	if sum.Serials == 0 && sum.Bad == 0 {
		fmt.Fprintln(f.errs, "        Give serials, files with a serial a line, or - for standard input.")
	}
	return couldNot
}

var errNothingToRead = errors.New("nothing to read: give serials, files, or - for standard input")

// sources opens what is to be read. Arguments that are no files are taken as serials, so that a
// mistyped serial is told as one.
func sources(args []string, in *os.File) (lists []reading.Source, closeAll func(), err error) {
	var opened []*os.File
	closeAll = func() {
		for _, f := range opened {
			f.Close()
		}
	}
	if len(args) == 0 {
		if term.IsTerminal(in.Fd()) {
			return nil, closeAll, errNothingToRead
		}
		args = []string{"-"}
	}
	for i, a := range args {
		if a == "-" {
			lists = append(lists, reading.Source{Name: "standard input", In: in})
			continue
		}
		if _, _, notSerial := triage.ParseSerial(a); notSerial != nil {
			file, err := os.Open(a)
			if err == nil {
				opened = append(opened, file)
				lists = append(lists, reading.Source{Name: triage.Printable(a), In: file})
				continue
			}
			if !errors.Is(err, os.ErrNotExist) || strings.ContainsAny(a, "./\\") {
				return nil, closeAll, fmt.Errorf("%q is neither a serial nor a file that can be read: %w", a, err)
			}
		}
		lists = append(lists, reading.Source{Name: fmt.Sprintf("argument %d", i+1), In: strings.NewReader(a), Plain: true})
	}
	return lists, closeAll, nil
}

// progress tells a person at a terminal every second how far a long list is. done takes the line away
// again, so that nothing else is written behind it.
func progress(to *os.File) (tell func(lines int), done func()) {
	if to == nil {
		return nil, func() {}
	}
	last, shown := time.Now(), false
	tell = func(lines int) {
		if now := time.Now(); now.Sub(last) >= time.Second {
			last, shown = now, true
			fmt.Fprintf(to, "\r%s lines", triage.Thousands(lines))
		}
	}
	return tell, func() {
		if shown {
			fmt.Fprint(to, "\r\x1b[K")
			shown = false
		}
	}
}

// starRuns takes in or prints the runs of star notes.
func starRuns(o *options, f files) int {
	importing := len(o.args) == 2 && o.args[0] == "import"
	if !importing && (len(o.args) != 1 || o.args[0] != "list") {
		fmt.Fprintln(f.errs, "unband: say runs import FILE, or runs list.")
		return wrongUsage
	}
	if path, err := o.path(); err == nil && !importing {
		if _, err := os.Stat(path); errors.Is(err, os.ErrNotExist) {
			return fine // no file, no runs; looking must not make one
		}
	}
	s, err := open(o)
	if err != nil {
		return complain(f.errs, err)
	}
	defer s.Close()
	known, err := s.Runs()
	if err != nil {
		return complain(f.errs, err)
	}
	if importing {
		return importRuns(s, o, known, f)
	}
	for _, r := range known {
		fmt.Fprintln(f.out, r.Line())
	}
	return fine
}

// importRuns takes the good lines of a list in and says what became of the others.
func importRuns(s *store.Store, o *options, known []stars.Run, f files) int {
	in, err := os.Open(o.args[1])
	if err != nil {
		fmt.Fprintln(f.errs, "unband: the list cannot be read:", err)
		return couldNot
	}
	defer in.Close()
	result, err := stars.ImportCSV(in, o.listed, known)
	if err != nil {
		fmt.Fprintln(f.errs, "unband:", err)
		return couldNot
	}
	if r := s.Do(store.PutRuns{Runs: append(result.Runs, result.Richer...)}); r.Err != nil {
		return complain(f.errs, r.Err)
	}
	for _, line := range result.Sentences() {
		fmt.Fprintln(f.out, line)
	}
	if len(result.Refused) > 0 {
		return couldNot
	}
	return fine
}

// printOdds prints the table of odds, or of what misreading loses: the whole of it, or the rules named and
// the patterns given.
func printOdds(o *options, f files) int {
	if o.top < 1 || o.top >= patterns.Total {
		fmt.Fprintf(f.errs, "unband: %d is no highest serial: 1 to 99999999.\n", o.top)
		return wrongUsage
	}
	if wrong := misreadFault(o); wrong != "" {
		fmt.Fprintln(f.errs, "unband:", wrong)
		return wrongUsage
	}
	if o.as != "text" && o.as != "csv" && o.as != "json" {
		fmt.Fprintf(f.errs, "unband: there is no format %q: text, csv or json.\n", triage.Printable(o.as))
		return wrongUsage
	}
	settings := patterns.DefaultSettings()
	book, err := patterns.NewBook(settings)
	if err != nil {
		return complain(f.errs, err)
	}
	var only patterns.Set
	for _, a := range o.args {
		if id, ok := ruleNamed(book, a); ok {
			only = only.With(id)
			continue
		}
		only = only.With(patterns.FirstTemplate + patterns.ID(len(settings.Templates)))
		settings.Templates = append(settings.Templates, patterns.Template{Pattern: a})
		if len(settings.Templates) > patterns.MaxTemplates {
			fmt.Fprintf(f.errs, "unband: at most %d patterns at once.\n", patterns.MaxTemplates)
			return wrongUsage
		}
	}
	if len(settings.Templates) > 0 {
		if book, err = patterns.NewBook(settings); err != nil {
			fmt.Fprintf(f.errs, "unband: neither a rule's name nor a pattern: %v.\n", err)
			return wrongUsage
		}
	}
	var write map[string]func(io.Writer) error
	if o.misreads {
		losses, err := odds.Misread(book, book.DefaultWatch(), patterns.Digits(o.top), o.misread)
		if err != nil {
			fmt.Fprintf(f.errs, "unband: %v: give patterns that fewer serials fit.\n", err)
			return wrongUsage
		}
		if only != 0 {
			losses = losses.Only(only)
		}
		write = map[string]func(io.Writer) error{"text": losses.Text, "csv": losses.CSV, "json": losses.JSON}
	} else {
		table := odds.New(book, book.DefaultWatch(), patterns.Digits(o.top), o.settled)
		if only != 0 {
			table = table.Only(only)
		}
		write = map[string]func(io.Writer) error{"text": table.Text, "csv": table.CSV, "json": table.JSON}
	}
	if err := write[o.as](f.out); err != nil {
		fmt.Fprintln(f.errs, "unband:", err)
		return couldNot
	}
	return fine
}

// misreadFault says what is wrong with the flags about misreading, "" for nothing.
func misreadFault(o *options) string {
	switch {
	case o.misreads && o.settled:
		return "--settled and --misread are two tables: ask for one of them."
	case o.misread.Notes < 1_000 || o.misread.Notes > 10_000_000:
		return fmt.Sprintf("--notes %d: 1,000 to 10,000,000 readings can be drawn.", o.misread.Notes)
	case o.misreads:
		return ""
	}
	for _, name := range o.given {
		if name == "swap" || name == "seed" || name == "notes" {
			return "--" + name + " goes with --misread, as in unband odds --misread 0.005."
		}
	}
	return ""
}

// ruleNamed finds a rule by its name, whatever its capitals.
func ruleNamed(b *patterns.Book, name string) (patterns.ID, bool) {
	for _, r := range b.Rules() {
		if strings.EqualFold(r.Name, name) {
			return r.ID, true
		}
	}
	return 0, false
}
