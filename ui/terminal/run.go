// Package terminal is the edge between the screens and a real terminal: it runs
// the one bubbletea program of a process and makes good what bubbletea v1 leaves
// open there (keypads, torn sequences, endless pastes, signals, a terminal that
// goes away).
package terminal

import (
	"errors"
	"fmt"
	"io"
	"os"

	// Before anything else of a terminal is touched: see package quiet.
	_ "app/unband/ui/quiet"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"
)

// framesPerSecond is the most that bubbletea v1 draws. A key waits for the next
// frame, half a frame's time on average, so this is what it feels like.
const framesPerSecond = 120

// numericKeypad (DECKPNM) makes the keypad send plain digits. A program that ran
// earlier may have left the terminal in application mode.
const numericKeypad = "\x1b>"

// FailMsg ends the program: the terminal is restored and Run returns Err. A
// goroutine outside bubbletea sends it when it cannot go on, above all when it
// has recovered from a panic: a panic that gets away there ends the process with
// the terminal raw.
type FailMsg struct {
	Err error // what Run returns; nil ends the program without an error
}

// BeginMsg says that the middle key of the keypad (5) was pressed while NumLock
// was off. bubbletea has names for the other nine keys (home, up, …) but
// not for this one.
type BeginMsg struct{}

// NoShellMsg is what Update gets after tea.Suspend when nothing could wake the
// program up again, because no shell with job control started it (a terminal
// opened just for unband). It was not suspended.
type NoShellMsg struct{}

// Option changes how Run works.
type Option func(*runner)

// WithSender has f called once before the program starts, with a function that
// posts a message to Update from any goroutine. Messages arrive in the order of
// the calls. It never blocks, not even while the program is suspended, and after
// the program has ended it does nothing.
func WithSender(f func(send func(tea.Msg))) Option {
	return func(r *runner) { r.sender = f }
}

// WithClipboard has f called once before the program starts, with a function that asks the terminal to
// put a text on the clipboard (OSC 52, xterm control sequences). A terminal without one ignores it; there
// is no answer either way.
func WithClipboard(f func(copy func(text string))) Option {
	return func(r *runner) {
		// One write of its own: bubbletea writes whole frames, so it lands between two of them.
		f(func(text string) { _, _ = io.WriteString(r.out, ansi.SetSystemClipboard(text)) })
	}
}

// WithBell has f called once before the program starts, with a function that rings the terminal's bell (BEL,
// ECMA-48 8.3.3). What a terminal does then, sound, light or nothing, is its owner's choice.
func WithBell(f func(ring func())) Option {
	return func(r *runner) {
		f(func() { _, _ = io.WriteString(r.out, "\a") }) // one write of its own, as with the clipboard
	}
}

// WithFiles runs on another terminal than standard input and output.
func WithFiles(in, out *os.File) Option {
	return func(r *runner) { r.in, r.out = in, out }
}

// runner is one run of a program.
type runner struct {
	in, out *os.File
	sender  func(send func(tea.Msg))
	program *tea.Program
	outbox  *outbox
	failure error // from a FailMsg

	// suspending is true from tea.Suspend until bubbletea has restored the
	// terminal. Only bubbletea's event loop touches it.
	suspending bool
}

// Run shows m full screen until it quits, and returns its last state. Call Check
// first, and Run once in a process (on Windows a second program loses its first
// key).
//
// It ends without an error when the model quits, when the input ends and on
// SIGHUP, SIGTERM and SIGINT; the model's Update does not hear of these, so what
// must be done at the end is done by the caller, on the returned model. After
// the end those signals are ignored for ten seconds: closing a window sends
// SIGHUP more than once, and a held ctrl+c becomes SIGINT as soon as the terminal
// is restored, and neither may cut the caller's work short.
//
// It returns an error if the terminal cannot be used, after a FailMsg, and after
// a panic in the model, which bubbletea prints (the model returned is then m as
// it was given). In every case the terminal is restored, with its cursor shown.
func Run(m tea.Model, opts ...Option) (tea.Model, error) {
	r := &runner{in: os.Stdin, out: os.Stdout}
	for _, opt := range opts {
		opt(r)
	}
	input := NewInput(r.in, func() { go r.program.Quit() })
	r.program = tea.NewProgram(m,
		tea.WithInput(input),
		tea.WithOutput(r.out),
		tea.WithAltScreen(),
		tea.WithFPS(framesPerSecond),
		// bubbletea's own handler forgets a SIGTERM that comes while the program
		// is suspended, as `kill %1` sends it.
		tea.WithoutSignalHandler(),
		tea.WithFilter(r.filter),
	)
	r.outbox = newOutbox(r.program.Send)
	defer r.outbox.close()
	if r.sender != nil {
		r.sender(r.outbox.post)
	}
	styled()
	defer watchSignals(r.program.Quit, func() { r.outbox.post(continuedMsg{}) })()
	if err := r.keypadToNumeric(); err != nil {
		return m, fmt.Errorf("the terminal cannot be written to: %w", err)
	}
	last, err := r.program.Run()
	if last == nil { // bubbletea lost it in a panic
		last = m
	}
	return last, r.explain(err)
}

// explain makes bubbletea's error, if any, one to show.
func (r *runner) explain(err error) error {
	switch {
	case r.failure != nil:
		return r.failure
	case errors.Is(err, tea.ErrInterrupted): // tea.Interrupt, by the model
		return nil
	case errors.Is(err, tea.ErrProgramPanic):
		return fmt.Errorf("the screen stopped on a fault of the program itself: %w", err)
	case err != nil:
		return fmt.Errorf("the screen stopped: %w", err)
	}
	return nil
}

func (r *runner) keypadToNumeric() error {
	_, err := io.WriteString(r.out, numericKeypad)
	return err
}

// continuedMsg says that the process got SIGCONT.
type continuedMsg struct{}

// filter sees every message before bubbletea and the model do, in bubbletea's
// event loop.
func (r *runner) filter(_ tea.Model, msg tea.Msg) tea.Msg {
	switch msg := msg.(type) {
	case tea.KeyMsg: // the common case; a key is none of the below
		return msg
	case FailMsg:
		r.failure = msg.Err
		return tea.QuitMsg{}
	case tea.SuspendMsg:
		if !canSuspend() {
			return NoShellMsg{}
		}
		r.suspending = true
	case tea.ResumeMsg:
		r.suspending = false
		if r.keypadToNumeric() != nil {
			return tea.QuitMsg{} // gone meanwhile; bubbletea does not look
		}
	case continuedMsg:
		return r.continued()
	case fmt.Stringer:
		// An unexported type of bubbletea's: a control sequence without a name.
		// Its text lists the bytes after ESC [ as numbers.
		if msg.String() == "?CSI[69]?" { // E
			return BeginMsg{}
		}
	}
	return msg
}

// continued takes the terminal back after the process was stopped from outside:
// the shell has set its own modes meanwhile, and bubbletea does not know that
// anything happened. It returns the message that bubbletea sends after a
// suspension of its own, which ends with SIGCONT too and needs nothing here.
//
// A window that is closed sends SIGCONT along with SIGHUP. So a terminal that
// cannot be taken back is no error: it is gone, and the program ends as it does
// then.
func (r *runner) continued() tea.Msg {
	if r.suspending {
		return nil
	}
	if r.program.ReleaseTerminal() != nil || r.program.RestoreTerminal() != nil || r.keypadToNumeric() != nil {
		return tea.QuitMsg{}
	}
	return tea.ResumeMsg{}
}
