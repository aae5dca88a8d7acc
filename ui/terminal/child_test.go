package terminal

import (
	"errors"
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
)

// childKey is set in the environment of a test binary that shall be a small
// program under Run instead of running tests.
const childKey = "UNBAND_TERMINAL_CHILD"

// TestMain lets the pty tests start this binary as the program under test. With
// childKey set to "drain" the program sends itself the ending signals after Run,
// as a closed window and a held ctrl+c do.
func TestMain(m *testing.M) {
	mode := os.Getenv(childKey)
	if mode == "" {
		os.Exit(m.Run())
	}
	if err := Check(os.Stdin, os.Stdout, os.Getenv("TERM")); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(2)
	}
	_, err := Run(&echo{}, WithSender(func(send func(tea.Msg)) {
		for i := range 3 {
			send(posted(i))
		}
	}))
	fmt.Printf("END %v\n", err)
	if mode == "drain" {
		for _, s := range endingSignals {
			p, _ := os.FindProcess(os.Getpid())
			_ = p.Signal(s)
		}
		time.Sleep(100 * time.Millisecond) // work that must not be cut short
		fmt.Println("DRAINED")
	}
	if err != nil {
		os.Exit(1)
	}
	os.Exit(0)
}

// posted is a message of the child's sender.
type posted int

// echo shows what it is sent.
type echo struct {
	log           []string
	width, height int
}

func (e *echo) Init() tea.Cmd { return nil }

// View ends each entry with a period, so that a test can tell a whole log from
// the beginning of one.
func (e *echo) View() string {
	return fmt.Sprintf("size %dx%d\nlog: %s.\nbottom", e.width, e.height, strings.Join(e.log, " "))
}

func (e *echo) note(format string, args ...any) {
	e.log = append(e.log, fmt.Sprintf(format, args...))
}

func (e *echo) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	switch msg := msg.(type) {
	case tea.WindowSizeMsg:
		e.width, e.height = msg.Width, msg.Height
	case posted:
		e.note("post%d", int(msg))
	case tea.ResumeMsg:
		e.note("resumed")
	case NoShellMsg:
		e.note("noshell")
	case BeginMsg:
		e.note("begin")
	case tea.KeyMsg:
		return e, e.key(msg)
	}
	return e, nil
}

func (e *echo) key(msg tea.KeyMsg) tea.Cmd {
	switch {
	case msg.Paste:
		e.note("paste%d", len(msg.Runes))
	case msg.String() == "ctrl+c":
		return tea.Quit
	case msg.String() == "ctrl+z":
		return tea.Suspend
	case msg.String() == "P":
		panic("a fault in Update")
	case msg.String() == "C":
		return func() tea.Msg { panic("a fault in a command") }
	case msg.String() == "F":
		return func() tea.Msg { return FailMsg{errors.New("the writer gave up")} }
	case msg.String() == "Q":
		return func() tea.Msg { return FailMsg{} }
	case msg.Type == tea.KeyRunes && !msg.Alt:
		for _, r := range msg.Runes {
			e.note("%c", r)
		}
	default:
		e.note("%s", msg)
	}
	return nil
}
