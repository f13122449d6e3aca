// Command fitcoil turns a page of resonance frequencies of a coil into its
// inductance and capacitance, with honest uncertainties.
//
// Each verb has a file of its own, which parses flags, calls the packages that
// know, and hands the result to one writer. Nothing is computed here.
package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"sync"
	"syscall"

	"golang.org/x/term"

	"fitcoil/ioformat/outfile"
	"fitcoil/ioformat/quantity"
)

func main() {
	s := streams{in: os.Stdin, out: os.Stdout, err: os.Stderr,
		terminal: term.IsTerminal(int(os.Stderr.Fd())), screen: term.IsTerminal(int(os.Stdout.Fd())), writing: new(sync.Mutex)}
	if width, _, err := term.GetSize(int(os.Stdout.Fd())); err == nil {
		s.width = width
	}
	os.Exit(interruptible(os.Args[1:], s, interrupts()))
}

// run carries out one command line and returns the exit code.
func run(args []string, s streams) int {
	s.out, s.bar = &quantity.Screen{W: results{s.out}}, s.err
	s.err = &quantity.Screen{W: s.err}
	if s.writing == nil {
		s.writing = new(sync.Mutex)
	}
	err := dispatch(args, s)
	if err == nil {
		return exitAnswered
	}
	code, text := outcome(err)
	if text != "" {
		fmt.Fprintln(s.err, text)
	}
	return code
}

// dispatch finds the verb and runs it. A fault in the program itself becomes an
// error like any other, so that nobody meets a stack of Go.
func dispatch(args []string, s streams) (err error) {
	defer func() {
		if fault := recover(); fault != nil {
			err = panicked(fault)
		}
	}()
	if len(args) == 0 {
		_, err := io.WriteString(s.out, overview())
		return err
	}
	name, rest := args[0], args[1:]
	switch name {
	case "-h", "--help", "help":
		return help(rest, s)
	case "--version":
		name = "version"
	}
	for _, v := range verbs() {
		if v.name == name {
			return v.run(rest, s)
		}
	}
	if wantsHelp(rest) {
		return help(nil, s)
	}
	return unknownVerb(name)
}

// interrupts returns a channel that tells of an interrupt from the keyboard or
// of a wish that the program end. Where the parent has turned interrupts off,
// as a shell does for jobs in the background, they stay off.
func interrupts() chan os.Signal {
	c := make(chan os.Signal, 1)
	for _, s := range []os.Signal{os.Interrupt, syscall.SIGTERM} {
		if !signal.Ignored(s) {
			signal.Notify(c, s)
		}
	}
	return c
}

// interruptible runs a command until it ends or is interrupted. Files that are
// being written are finished first, so that none is left half; a second
// interrupt doesn't wait.
func interruptible(args []string, s streams, interrupted chan os.Signal) int {
	code := make(chan int, 1)
	go func() { code <- run(args, s) }()
	select {
	case c := <-code:
		return c
	case <-interrupted:
		signal.Stop(interrupted)
		s.writing.Lock()
		return exitInterrupted
	}
}

// streams is where a command reads and writes: results go to out, all else to
// err.
type streams struct {
	in       io.Reader
	out, err io.Writer
	bar      io.Writer // standard error for progress, which moves the cursor

	// writing is held while files are written, so that an interrupt can wait
	// for them to be whole.
	writing *sync.Mutex
	// terminal tells that err is a terminal, on which progress may be shown; screen that
	// out is one.
	terminal, screen bool
	width            int // columns of the terminal that out is; 0 if it is none
}

// results is the standard output of a verb. Its errors say what can't be
// written.
type results struct{ w io.Writer }

// errClosedPipe means that nobody reads the results any more, which is no
// reason for words.
var errClosedPipe = errors.New("nobody reads the output")

func (r results) Write(p []byte) (int, error) {
	n, err := r.w.Write(p)
	switch {
	case err == nil:
	case closedPipe(err):
		err = &outfile.Error{Path: "standard output", Cause: outfile.Failed, Err: errClosedPipe}
	default:
		err = &outfile.Error{Path: "standard output", Cause: outfile.Failed, Err: systemReason(err)}
	}
	return n, err
}
