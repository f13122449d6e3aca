package workers

import (
	"bytes"
	"errors"
	"fmt"
	"runtime"
	"slices"
	"strings"
	"testing"
)

var errBroken = errors.New("the model broke")

// breaks panics as worker 2.
func breaks(w int) {
	if w == 2 {
		panic(errBroken)
	}
}

// A panic on a worker reaches the caller, who can recover it, with its value, its
// place and the worker's stack.
func TestPanicReachesCaller(t *testing.T) {
	defer func() {
		p, ok := recover().(*Panic)
		if !ok {
			t.Fatalf("recovered %v", p)
		}
		if !errors.Is(p, errBroken) || !strings.Contains(p.Error(), "the model broke, at workers_test.go:") {
			t.Errorf("panic %v", p)
		}
		if !bytes.Contains(p.Stack, []byte("breaks")) {
			t.Errorf("stack without the function that panicked:\n%s", p.Stack)
		}
	}()
	On(4, breaks)
	t.Error("no panic")
}

// Each number is worked on once, and all are done when On returns.
func TestAllAreDone(t *testing.T) {
	done := make([]int, 50)
	On(len(done), func(w int) { done[w]++ })
	if slices.Min(done) != 1 || slices.Max(done) != 1 {
		t.Errorf("%v", done)
	}
}

// Of several panics the first by number is told, whoever is last among them, with the line that panicked.
func TestFirstPanicIsTold(t *testing.T) {
	for _, c := range []struct{ first, n int }{{0, 4}, {1, 4}, {3, 4}, {0, 1}} {
		func() {
			defer func() {
				p, ok := recover().(*Panic)
				if !ok || p.Value != c.first {
					t.Errorf("recovered %v, want %d", p, c.first)
				}
			}()
			On(c.n, func(w int) {
				if w >= c.first {
					panic(w)
				}
			})
			t.Error("no panic")
		}()
	}
	_, _, line, _ := runtime.Caller(0)
	want := line + 8
	defer func() {
		if p, ok := recover().(*Panic); !ok || p.At != fmt.Sprintf("workers_test.go:%d", want) {
			t.Errorf("%v, want line %d", p, want)
		}
	}()
	On(1, func(int) {
		panic("here")
	})
}
