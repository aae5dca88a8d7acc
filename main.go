// Unband is a full-screen program for someone who sorts straps of paper money note by note.
//
//	unband [--file FILE] [--pause SECONDS] [--pause-stop SECONDS]
//	unband check [--file FILE]
//
// The exit status is 0 when all went well, 1 when something could not be done, 2 on wrong usage.
package main

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"runtime/debug"
	"strings"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"app/unband/store"
	"app/unband/triage"
	"app/unband/ui"
	"app/unband/ui/terminal"
)

// version is set by the build script of a release.
var version = "development"

const (
	fine       = 0
	couldNot   = 1
	wrongUsage = 2
)

func main() { os.Exit(run(os.Args[1:], os.Stdout, os.Stderr)) }

// options are the flags that every command takes.
type options struct {
	file             string
	pause, pauseStop float64
	version          bool
	command          string
	arguments        []string
}

func run(args []string, out, errs io.Writer) int {
	o, err := parse(args, errs)
	switch {
	case errors.Is(err, flag.ErrHelp):
		return fine
	case err != nil:
		return wrongUsage
	case o.version:
		fmt.Fprintln(out, "unband", version, built())
		return fine
	}
	switch o.command {
	case "":
		return screen(o, out, errs)
	case "check":
		return check(o, out, errs)
	}
	fmt.Fprintf(errs, "unband: there is no command %q. unband --help lists them.\n", o.command)
	return wrongUsage
}

const usage = `unband sorts straps of paper money note by note: keep or spend.

  unband             open the screen, where it was left
  unband check       compare the totals in the file with its notes

`

func parse(args []string, errs io.Writer) (options, error) {
	var o options
	command, args := split(args)
	set := flag.NewFlagSet("unband", flag.ContinueOnError)
	set.SetOutput(errs)
	set.Usage = func() {
		fmt.Fprint(errs, usage)
		set.PrintDefaults()
	}
	pauses := triage.DefaultPauses()
	set.StringVar(&o.file, "file", "", "keep everything in `FILE` (default: unband.db in your data folder)")
	set.Float64Var(&o.pause, "pause", pauses.Plain.Seconds(), "`seconds` before an ordinary note can be decided, 0.2 to 10")
	set.Float64Var(&o.pauseStop, "pause-stop", pauses.Stop.Seconds(), "`seconds` before a hit, a near miss or a doubtful serial can be decided, 0.2 to 10")
	set.BoolVar(&o.version, "version", false, "print the version and end")
	if err := set.Parse(args); err != nil {
		return o, err
	}
	o.command, o.arguments = command, set.Args()
	for _, s := range []float64{o.pause, o.pauseStop} {
		if !(s >= triage.MinPause.Seconds() && s <= triage.MaxPause.Seconds()) {
			err := fmt.Errorf("a pause of %g s is outside 0.2 to 10", s)
			fmt.Fprintln(errs, "unband:", err)
			return o, err
		}
	}
	if len(o.arguments) > 0 {
		err := fmt.Errorf("%q is not understood", o.arguments[0])
		fmt.Fprintln(errs, "unband:", err, "- unband --help lists what is.")
		return o, err
	}
	return o, nil
}

// split takes the command off the front of the arguments.
func split(args []string) (command string, rest []string) {
	if len(args) > 0 && !strings.HasPrefix(args[0], "-") {
		return args[0], args[1:]
	}
	return "", args
}

// built says from which commit the program was built, if it knows.
func built() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return ""
	}
	commit, changed := "", ""
	for _, s := range info.Settings {
		switch {
		case s.Key == "vcs.revision" && len(s.Value) >= 12:
			commit = s.Value[:12]
		case s.Key == "vcs.modified" && s.Value == "true":
			changed = ", changed"
		}
	}
	return fmt.Sprintf("(%s%s, %s)", commit, changed, info.GoVersion)
}

// path is the file of the options.
func (o options) path() (string, error) {
	if o.file != "" {
		return o.file, nil
	}
	return store.DefaultPath()
}

// open opens the file of the options, and makes it if it is not there.
func open(o options) (*store.Store, error) {
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
func screen(o options, out, errs io.Writer) int {
	if err := terminal.Check(os.Stdin, os.Stdout, os.Getenv("TERM")); err != nil {
		fmt.Fprintln(errs, "unband:", err)
		return wrongUsage
	}
	s, err := open(o)
	if err != nil {
		return complain(errs, err)
	}
	var send func(tea.Msg)
	app := ui.New(ui.Options{
		Store: s,
		Now:   time.Now,
		Pauses: triage.Pauses{
			Plain: time.Duration(o.pause * float64(time.Second)),
			Stop:  time.Duration(o.pauseStop * float64(time.Second)),
			Pace:  triage.DefaultPauses().Pace,
		},
		Post: func(m tea.Msg) { send(m) },
	})
	_, err = terminal.Run(app, terminal.WithSender(func(post func(tea.Msg)) { send = post }))
	// Closing writes what is still queued: a decision key that was heard is not lost by leaving.
	if closeErr := s.Close(); closeErr != nil {
		return complain(errs, closeErr)
	}
	if err != nil {
		fmt.Fprintln(errs, "unband:", err)
		fmt.Fprintln(errs, "        Every decision that was shown is in", s.Path())
		return couldNot
	}
	fmt.Fprintln(out, app.Farewell(s.Path()))
	return fine
}

// check compares totals and indexes of the file with its notes.
func check(o options, out, errs io.Writer) int {
	path, err := o.path()
	if err == nil {
		_, err = os.Stat(path) // opening would make it, and find it sound
	}
	if err != nil {
		fmt.Fprintln(errs, "unband: there is nothing to check:", err)
		return couldNot
	}
	s, err := store.Open(path)
	if err != nil {
		return complain(errs, err)
	}
	defer s.Close()
	report, err := s.Check()
	if err != nil {
		return complain(errs, err)
	}
	fmt.Fprintf(out, "%s: %d sessions, %d straps, %d notes, %d earlier versions\n",
		report.Path, report.Sessions, report.Straps, report.Notes, report.Versions)
	if report.Sound() {
		fmt.Fprintln(out, "sound: every total and index agrees with the notes")
		return fine
	}
	for _, p := range report.Problems {
		fmt.Fprintln(out, "wrong:", p)
	}
	return couldNot
}
