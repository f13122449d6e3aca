package main

import (
	"os"
	"os/signal"
	"syscall"
)

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
