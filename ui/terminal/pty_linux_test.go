package terminal

import (
	"bytes"
	"errors"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/creack/pty"
	"golang.org/x/sys/unix"
)

// deadline is only there to end a test that has failed.
const deadline = 30 * time.Second

// console is a program in a pseudo-terminal that answers no questions.
type console struct {
	t      *testing.T
	master *os.File
	cmd    *exec.Cmd
	before *unix.Termios // the terminal as the program found it

	mu     sync.Mutex
	output []byte
	gone   chan struct{} // closed when the output has ended
}

// start runs name in a new session. With control false the terminal is not the
// session's own, so that its closing sends no SIGHUP.
func start(t *testing.T, mode string, control bool, name string, args ...string) *console {
	t.Helper()
	cmd := exec.Command(name, args...)
	for _, v := range os.Environ() {
		if !strings.HasPrefix(v, "CI=") { // termenv does not ask in CI, and one test looks for its question
			cmd.Env = append(cmd.Env, v)
		}
	}
	cmd.Env = append(cmd.Env, "TERM=xterm-256color", "HISTFILE=", childKey+"="+mode,
		"GORACE=atexit_sleep_ms=0") // under -race each child would sleep a second at its end
	attr := &syscall.SysProcAttr{Setsid: true, Setctty: control}
	master, slave, err := pty.Open()
	if err != nil {
		t.Fatal(err)
	}
	defer slave.Close()
	if err := pty.Setsize(master, &pty.Winsize{Rows: 24, Cols: 200}); err != nil {
		t.Fatal(err)
	}
	c := &console{t: t, master: pollable(t, master), cmd: cmd, gone: make(chan struct{})}
	c.before = c.termios()
	cmd.Stdin, cmd.Stdout, cmd.Stderr, cmd.SysProcAttr = slave, slave, slave, attr
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	go c.collect()
	t.Cleanup(func() {
		_ = cmd.Process.Kill()
		_ = c.master.Close()
	})
	return c
}

// pollable returns f as a file whose Close ends a Read that is under way: else the
// terminal would stay open as long as somebody reads from it.
func pollable(t *testing.T, f *os.File) *os.File {
	t.Helper()
	defer f.Close()
	fd, err := unix.FcntlInt(f.Fd(), unix.F_DUPFD_CLOEXEC, 0)
	if err == nil {
		err = unix.SetNonblock(fd, true)
	}
	if err != nil {
		t.Fatal(err)
	}
	return os.NewFile(uintptr(fd), f.Name())
}

// control calls f with the terminal's descriptor; Fd would make it block.
func (c *console) control(f func(fd int) error) {
	c.t.Helper()
	conn, err := c.master.SyscallConn()
	if err != nil {
		c.t.Fatal(err)
	}
	if cerr := conn.Control(func(fd uintptr) { err = f(int(fd)) }); cerr != nil || err != nil {
		c.t.Fatal(cerr, err)
	}
}

// startChild runs the echo program and waits for its first whole screen.
func startChild(t *testing.T, mode string, control bool) *console {
	t.Helper()
	c := start(t, mode, control, os.Args[0])
	c.await("log: post0 post1 post2.")
	c.await("size 200x24")
	return c
}

func (c *console) collect() {
	defer close(c.gone)
	buf := make([]byte, 4096)
	for {
		n, err := c.master.Read(buf)
		c.mu.Lock()
		c.output = append(c.output, buf[:n]...)
		c.mu.Unlock()
		if err != nil {
			return
		}
	}
}

func (c *console) shown() string {
	c.mu.Lock()
	defer c.mu.Unlock()
	return string(c.output)
}

// forget makes await look only at what is written from now on.
func (c *console) forget() {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.output = nil
}

func (c *console) await(what string) {
	c.t.Helper()
	c.until("on the screen: "+what, func() bool { return strings.Contains(c.shown(), what) })
}

func (c *console) until(what string, ok func() bool) {
	c.t.Helper()
	for end := time.Now().Add(deadline); !ok(); time.Sleep(2 * time.Millisecond) {
		if time.Now().After(end) {
			c.t.Fatalf("never came %s\noutput: %q", what, c.shown())
		}
	}
}

func (c *console) send(bytes string) {
	c.t.Helper()
	if _, err := c.master.WriteString(bytes); err != nil {
		c.t.Fatal(err)
	}
}

func (c *console) termios() (state *unix.Termios) {
	c.t.Helper()
	c.control(func(fd int) (err error) {
		state, err = unix.IoctlGetTermios(fd, unix.TCGETS)
		return err
	})
	return state
}

// exit waits for the program's end and returns its status and all it wrote.
func (c *console) exit() (status int, output string) {
	c.t.Helper()
	ended := make(chan error, 1)
	go func() { ended <- c.cmd.Wait() }()
	select {
	case err := <-ended:
		var failed *exec.ExitError
		if err != nil && !errors.As(err, &failed) {
			c.t.Fatal(err)
		}
	case <-time.After(deadline):
		c.t.Fatalf("still running; output: %q", c.shown())
	}
	<-c.gone
	return c.cmd.ProcessState.ExitCode(), c.shown()
}

// expectEnd waits for the end and holds that the terminal is as it was: alternate
// screen left, cursor shown, paste mode off, line discipline restored.
func (c *console) expectEnd(status int, message string) {
	c.t.Helper()
	got, output := c.exit()
	if got != status || !strings.Contains(output, message) {
		c.t.Errorf("exit status %d, want %d with %q", got, status, message)
	}
	for _, pair := range [][2]string{{"\x1b[?1049h", "\x1b[?1049l"}, {"\x1b[?25l", "\x1b[?25h"}, {"\x1b[?2004h", "\x1b[?2004l"}} {
		on, off := strings.LastIndex(output, pair[0]), strings.LastIndex(output, pair[1])
		if on < 0 || off < on {
			c.t.Errorf("%q at %d is not undone by %q at %d", pair[0], on, pair[1], off)
		}
	}
	if after := c.termios(); *after != *c.before {
		c.t.Errorf("line discipline is %+v, was %+v", after, c.before)
	}
	if c.t.Failed() {
		c.t.Logf("output: %q", output)
	}
}

func TestStart(t *testing.T) {
	c := startChild(t, "echo", true)
	if first := c.shown(); !strings.HasPrefix(first, numericKeypad) {
		t.Errorf("the first bytes are %.20q, want the keypad's mode", first)
	}
	if strings.Contains(c.shown(), "\x1b]11") || strings.Contains(c.shown(), "\x1b[6n") {
		t.Error("the terminal was asked something: a start may stall")
	}
	c.send("\x03")
	c.expectEnd(0, "END <nil>")
}

// TestKeypad sends what a keypad sends after ESC =, whole and torn, and what
// arrives with NumLock off.
func TestKeypad(t *testing.T) {
	c := startChild(t, "echo", true)
	c.send("\x1bOp\x1bOy\x1bOk\x1bOM\x1bOH\x1b[E")
	c.await("post2 0 9 + enter home begin.")
	for _, part := range []string{"\x1b", "O", "q"} {
		c.send(part)
	}
	c.await("begin 1.")
	c.send("\x1b[") // then the rest, which may come in the same read or in the next
	c.send("A")
	c.await("1 up.")
	c.send("\x1b")
	c.await("up esc.")
	c.send("\x03")
	c.expectEnd(0, "END <nil>")
}

// TestSignals ends the program in the middle by each signal.
func TestSignals(t *testing.T) {
	for _, sig := range []syscall.Signal{syscall.SIGHUP, syscall.SIGTERM, syscall.SIGINT} {
		t.Run(sig.String(), func(t *testing.T) {
			c := startChild(t, "echo", true)
			if err := c.cmd.Process.Signal(sig); err != nil {
				t.Fatal(err)
			}
			c.expectEnd(0, "END <nil>")
		})
	}
}

// TestSignalsAfterwards sends the ending signals while the caller of Run is still
// at work.
func TestSignalsAfterwards(t *testing.T) {
	c := startChild(t, "drain", true)
	c.send("\x03")
	c.expectEnd(0, "DRAINED")
}

// TestTerminalGone closes the terminal: once with the SIGHUP that goes with it,
// once without, when only the input's end can tell.
func TestTerminalGone(t *testing.T) {
	for name, control := range map[string]bool{"hangup": true, "end of input": false} {
		t.Run(name, func(t *testing.T) {
			c := startChild(t, "echo", control)
			if err := c.master.Close(); err != nil {
				t.Fatal(err)
			}
			// Its "END" goes nowhere, but the status says that Run returned nil.
			if status, _ := c.exit(); status != 0 {
				t.Errorf("exit status %d", status)
			}
		})
	}
}

// TestFailures ends the program by its own faults.
func TestFailures(t *testing.T) {
	for _, c := range []struct {
		name, key, message string
		status             int
	}{
		{"panic in Update", "P", "END the screen stopped on a fault of the program itself", 1},
		{"panic in a command", "C", "END the screen stopped on a fault of the program itself", 1},
		{"FailMsg", "F", "END the writer gave up", 1},
		{"FailMsg without an error", "Q", "END <nil>", 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			console := startChild(t, "echo", true)
			console.send(c.key)
			console.expectEnd(c.status, c.message)
		})
	}
}

// TestPastes holds that ctrl+c works after a megabyte, and after a paste that has
// lost its end.
func TestPastes(t *testing.T) {
	c := startChild(t, "echo", true)
	c.send(pasteStart + "70633607\r" + pasteEnd)
	c.await("post2 paste9.")
	c.send(pasteStart + strings.Repeat("4", 1<<20) + pasteEnd + "7")
	c.await("paste9 paste4096 7.")
	c.send(pasteStart + "123")
	c.await("paste4096 7 paste3.")
	c.send("\x03")
	c.expectEnd(0, "END <nil>")
}

// TestStopped stops the program from outside, as `kill -STOP` does, changes the
// terminal as a shell would, and lets it go on.
func TestStopped(t *testing.T) {
	c := startChild(t, "echo", true)
	pid := c.cmd.Process.Pid
	raw := c.termios()
	if err := syscall.Kill(pid, syscall.SIGSTOP); err != nil {
		t.Fatal(err)
	}
	awaitStop(c, pid)
	c.control(func(fd int) error { return unix.IoctlSetTermios(fd, unix.TCSETS, c.before) })
	c.forget()
	if err := syscall.Kill(pid, syscall.SIGCONT); err != nil {
		t.Fatal(err)
	}
	c.await("\x1b[?1049h")
	c.await("post2 resumed.")
	c.await(numericKeypad)
	c.until("raw mode", func() bool { return c.termios().Lflag == raw.Lflag })
	c.await("bottom") // all of it was drawn again
	c.send("7")
	c.await("resumed 7.")
	c.send("\x1a") // the program leads the terminal's session: nobody could wake it up
	c.await("7 noshell.")
	c.send("\x03")
	c.expectEnd(0, "END <nil>")
}

// awaitStop waits until the kernel says that the process is stopped (state T in
// proc_pid_stat(5)).
func awaitStop(c *console, pid int) {
	c.t.Helper()
	c.until("to a stop", func() bool {
		stat, err := os.ReadFile("/proc/" + strconv.Itoa(pid) + "/stat")
		_, rest, _ := bytes.Cut(stat, []byte(") "))
		return err == nil && bytes.HasPrefix(rest, []byte("T"))
	})
}

// TestJobControl runs the program under a shell and suspends it by key and from
// outside.
func TestJobControl(t *testing.T) {
	bash, err := exec.LookPath("bash")
	if err != nil {
		t.Skip("needs bash for its job control")
	}
	c := start(t, "echo", true, bash, "--norc", "--noprofile", "-i")
	c.send("PS1='ready'; set +H\n")
	c.await("\x1b[?2004hready") // not the echo of the line itself
	c.send(os.Args[0] + "\n")
	c.await("log: post0 post1 post2.")
	pid := foreground(c)

	c.forget()
	c.send("\x1a")
	awaitStop(c, pid)
	c.await("\x1b[?1049l")
	c.forget()
	c.send("fg\n")
	c.await("post2 resumed.")
	c.await(numericKeypad)
	c.send("7")
	c.await("resumed 7.")

	c.forget()
	if err := syscall.Kill(pid, syscall.SIGTSTP); err != nil {
		t.Fatal(err)
	}
	awaitStop(c, pid)
	c.send("fg\n")
	c.await("7 resumed.")
	c.send("8")
	c.await("7 resumed 8.")

	// A SIGTERM that comes while it is suspended is not forgotten. In the
	// background the program may not touch the terminal (SIGTTOU stops it), so it
	// ends when it is in front again: at the second fg if the first came before it
	// was stopped that way.
	c.forget()
	c.send("\x1a")
	awaitStop(c, pid)
	c.send("kill %1; fg; fg; fg; echo done\n")
	c.await("END <nil>")
	c.until("to an end", func() bool { return errors.Is(syscall.Kill(pid, 0), syscall.ESRCH) })
}

// foreground returns the process group that has the terminal.
func foreground(c *console) (pgrp int) {
	c.t.Helper()
	c.control(func(fd int) (err error) {
		pgrp, err = unix.IoctlGetInt(fd, unix.TIOCGPGRP)
		return err
	})
	return pgrp
}

// TestCheck starts the program where its screen cannot run.
func TestCheck(t *testing.T) {
	null, err := os.Open(os.DevNull)
	if err != nil {
		t.Fatal(err)
	}
	defer null.Close()
	master, slave, err := pty.Open()
	if err != nil {
		t.Fatal(err)
	}
	defer master.Close()
	defer slave.Close()
	for _, c := range []struct {
		in, out    *os.File
		term, says string
	}{
		{null, slave, "xterm", "standard input is not a terminal"},
		{slave, null, "xterm", "standard output is not"},
		{nil, slave, "xterm", "standard input is not a terminal"},
		{slave, slave, "dumb", "TERM=dumb"},
		{slave, slave, "", ""},
		{slave, slave, "xterm", ""},
	} {
		err := Check(c.in, c.out, c.term)
		switch {
		case c.says == "" && err != nil:
			t.Errorf("TERM=%q: %v", c.term, err)
		case c.says != "" && (err == nil || !strings.Contains(err.Error(), c.says) || !strings.Contains(err.Error(), "unband --help")):
			t.Errorf("got %v, want %q and what to do", err, c.says)
		}
	}
}
