package workers

import (
	"fmt"
	"path/filepath"
	"runtime"
	"runtime/debug"
	"strings"
	"sync"
)

// Panic is what a panic on a worker's goroutine, where nobody could
// recover it, becomes on the goroutine that called On.
type Panic struct {
	Value any    // what the worker panicked with
	At    string // where, as "file.go:12"
	Stack []byte // of the worker
}

func (p *Panic) Error() string { return fmt.Sprintf("%v, at %s", p.Value, p.At) }

// Unwrap returns Value if it is an error.
func (p *Panic) Unwrap() error {
	err, _ := p.Value.(error)
	return err
}

// On calls work with 0 … n−1, each on a goroutine of its own, and waits
// for all. If some panic, so does it, with a Panic of the first by number.
func On(n int, work func(w int)) {
	panics := make([]*Panic, n)
	var wg sync.WaitGroup
	for w := range n {
		wg.Go(func() {
			defer func() {
				if value := recover(); value != nil {
					panics[w] = &Panic{Value: value, At: panickedAt(), Stack: debug.Stack()}
				}
			}()
			work(w)
		})
	}
	wg.Wait()
	for _, p := range panics {
		if p != nil {
			panic(p)
		}
	}
}

// panickedAt returns the line that a deferred function, its caller, recovers
// from: the first below the runtime's own.
func panickedAt() string {
	callers := make([]uintptr, 32)
	frames := runtime.CallersFrames(callers[:runtime.Callers(3, callers)])
	for {
		frame, more := frames.Next()
		if !strings.HasPrefix(frame.Function, "runtime.") || !more {
			return fmt.Sprintf("%s:%d", filepath.Base(frame.File), frame.Line)
		}
	}
}
